/* bench-settings.c - how looks and passes are recorded. */
#include "bench-settings.h"
#include "say.h"

#include <math.h>
#include "words.h"

static const double lamps[] = { 0, 45, 90, 135, 180, 225, 270, 315 };
static const double surfaces[] = { RAKE_SURFACE_DRY, RAKE_SURFACE_WET, RAKE_SURFACE_DUSTY,
                                   RAKE_SURFACE_WARM, RAKE_SURFACE_HAZED };
static const double wipes[] = { RAKE_WIPE_DRY_CLOTH, RAKE_WIPE_DAMP_CLOTH, RAKE_WIPE_SPIRIT,
                                RAKE_WIPE_NOTHING };
static const double lights[] = { RAKE_LIGHT_LAMP, RAKE_LIGHT_DAYLIGHT, RAKE_LIGHT_ROOM,
                                 RAKE_LIGHT_POINT };
static const double strokes[] = { 0, 45, 90, 135 };
static const double papers[] = { RAKE_PAPER_FRESH, RAKE_PAPER_USED, RAKE_PAPER_LOADED };
static const double radii[] = { 3, 6, 12, 25 };

static double
get_lamp (const RakeBench *bench)
{
  return bench->lamp_deg;
}

static void
set_lamp (RakeBench *bench, double value)
{
  bench->lamp_deg = value;
}

static double
get_surface (const RakeBench *bench)
{
  return bench->surface;
}

static void
set_surface (RakeBench *bench, double value)
{
  bench->surface = (RakeSurface) value;
}

static char *
say_surface (double value)
{
  switch ((RakeSurface) value)
    {
    case RAKE_SURFACE_DRY:
      return g_strdup (C_ ("surface", "Dry"));
    case RAKE_SURFACE_WET:
      return g_strdup (C_ ("surface", "Wet"));
    case RAKE_SURFACE_DUSTY:
      return g_strdup (C_ ("surface", "Dusty"));
    case RAKE_SURFACE_WARM:
      return g_strdup (C_ ("surface", "Warm"));
    case RAKE_SURFACE_HAZED:
      return g_strdup (C_ ("surface", "Hazed"));
    case RAKE_SURFACE_UNSAID:
    default:
      return g_strdup (_ ("Not said"));
    }
}

static double
get_wipe (const RakeBench *bench)
{
  return bench->wiped_with;
}

static void
set_wipe (RakeBench *bench, double value)
{
  bench->wiped_with = (RakeWipe) value;
}

static char *
say_wipe (double value)
{
  switch ((RakeWipe) value)
    {
    case RAKE_WIPE_NOTHING:
      return g_strdup (C_ ("wiped with", "Nothing"));
    case RAKE_WIPE_DRY_CLOTH:
      return g_strdup (C_ ("wiped with", "Dry cloth"));
    case RAKE_WIPE_DAMP_CLOTH:
      return g_strdup (C_ ("wiped with", "Damp cloth"));
    case RAKE_WIPE_SPIRIT:
      return g_strdup (C_ ("wiped with", "Spirit"));
    case RAKE_WIPE_UNSAID:
    default:
      return g_strdup (_ ("Not said"));
    }
}

static double
get_light (const RakeBench *bench)
{
  return bench->light;
}

static void
set_light (RakeBench *bench, double value)
{
  bench->light = (RakeLight) value;
}

static char *
say_light (double value)
{
  switch ((RakeLight) value)
    {
    case RAKE_LIGHT_LAMP:
      return g_strdup (C_ ("light", "Low lamp"));
    case RAKE_LIGHT_DAYLIGHT:
      return g_strdup (C_ ("light", "Daylight"));
    case RAKE_LIGHT_ROOM:
      return g_strdup (C_ ("light", "Room light"));
    case RAKE_LIGHT_POINT:
      return g_strdup (C_ ("light", "Point light"));
    case RAKE_LIGHT_UNSAID:
    default:
      return g_strdup (_ ("Not said"));
    }
}

static double
get_strokes (const RakeBench *bench)
{
  return bench->stroke_deg;
}

static void
set_strokes (RakeBench *bench, double value)
{
  bench->stroke_deg = value;
}

static double
get_paper (const RakeBench *bench)
{
  return bench->paper;
}

static void
set_paper (RakeBench *bench, double value)
{
  bench->paper = (RakePaper) value;
}

static char *
say_paper (double value)
{
  switch ((RakePaper) value)
    {
    case RAKE_PAPER_FRESH:
      return g_strdup (C_ ("paper", "Fresh"));
    case RAKE_PAPER_USED:
      return g_strdup (C_ ("paper", "Used"));
    case RAKE_PAPER_LOADED:
      return g_strdup (C_ ("paper", "Loaded"));
    case RAKE_PAPER_UNSAID:
    default:
      return g_strdup (_ ("Not said"));
    }
}

static double
get_radius (const RakeBench *bench)
{
  return bench->brush_radius_mm;
}

static void
set_radius (RakeBench *bench, double value)
{
  bench->brush_radius_mm = value;
}

/* A brush is known by its width, as brushes are. */
static char *
say_radius (double value)
{
  return rake_say_length (2 * value);
}

#define VALUES(array) array, G_N_ELEMENTS (array)

static const RakeBenchSetting settings[] = {
  { "lamp", NC_ ("bench", "Lamp"), VALUES (lamps), get_lamp, set_lamp, rake_say_direction, TRUE },
  { "light", NC_ ("bench", "Light"), VALUES (lights), get_light, set_light, say_light, FALSE },
  { "surface", NC_ ("bench", "Surface"), VALUES (surfaces), get_surface, set_surface, say_surface, FALSE },
  { "wipe", NC_ ("bench", "Wiped with"), VALUES (wipes), get_wipe, set_wipe, say_wipe, FALSE },
  { "strokes", NC_ ("bench", "Strokes"), VALUES (strokes), get_strokes, set_strokes, rake_say_direction, TRUE },
  { "paper", NC_ ("bench", "Paper"), VALUES (papers), get_paper, set_paper, say_paper, FALSE },
  { "brush", NC_ ("bench", "Brush"), VALUES (radii), get_radius, set_radius, say_radius, FALSE },
};

const RakeBenchSetting *
rake_bench_settings_get (guint *n_settings)
{
  *n_settings = G_N_ELEMENTS (settings);
  return settings;
}

const RakeBenchSetting *
rake_bench_settings_find (const char *name)
{
  for (guint i = 0; i < G_N_ELEMENTS (settings); i++)
    if (g_strcmp0 (settings[i].name, name) == 0)
      return &settings[i];
  return NULL;
}

double
rake_bench_setting_get_next (const RakeBenchSetting *setting, const RakeBench *bench)
{
  double now = setting->get (bench);

  for (guint i = 0; i < setting->n_values; i++)
    if (fabs (setting->values[i] - now) < 1e-6)
      return setting->values[(i + 1) % setting->n_values];
  return setting->values[0];
}
