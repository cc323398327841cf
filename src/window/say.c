/* say.c - numbers, times and things of the job in words. */
#include "say.h"

#include <math.h>
#include <rakelight/units.h>
#include "words.h"

char *
rake_say_share (double fraction)
{
  double percent = floor (fraction * 100 + 1e-9);

  if (!isfinite (fraction))
    return NULL;
  if (fraction > 0 && percent < 1)
    return g_strdup (C_ ("share", "under 1 %"));
  /* Translators: a share of an area; the space is a no-break one. */
  return g_strdup_printf (C_ ("share", "%.0f %%"), percent);
}

char *
rake_say_low_share (double fraction)
{
  if (!isfinite (fraction))
    return NULL;
  if (fraction > 0 && fraction < 0.005)
    return g_strdup (C_ ("share", "under 1 %"));
  return g_strdup_printf (C_ ("share", "%.0f %%"), fraction * 100);
}

char *
rake_say_area (double area_mm2)
{
  double area_cm2 = area_mm2 / 100;

  if (rake_units_get ().length_in_inch)
    return g_strdup_printf (C_ ("area", "%.1f in²"), area_mm2 / (25.4 * 25.4));
  return g_strdup_printf (area_cm2 < 10 ? C_ ("area", "%.1f cm²") : C_ ("area", "%.0f cm²"),
                          area_cm2);
}

/* Takes @text, and gives it back with no place to break a line at. */
static char *
no_break (char *text)
{
  GString *kept = g_string_new (text);

  g_free (text);
  g_string_replace (kept, " ", " ", 0);
  return g_string_free (kept, FALSE);
}

char *
rake_say_length (double length_mm)
{
  char *text;

  /* Tenths of a millimetre say nothing of what is longer than a fingernail is wide. */
  if (!rake_units_get ().length_in_inch && length_mm >= 9.95)
    length_mm = round (length_mm);
  text = rake_units_to_text (RAKE_MEASURE_LENGTH, length_mm);
  return no_break (text);
}

char *
rake_say_direction (double deg)
{
  return g_strdup_printf (C_ ("direction", "%.0f°"), deg);
}

/* The time at the bench, whatever time zone this machine is in today. */
static GDateTime *
new_bench_time (gint64 unix_ms, int utc_offset_minutes)
{
  g_autoptr (GTimeZone) zone = g_time_zone_new_offset (utc_offset_minutes * 60);
  g_autoptr (GDateTime) utc = g_date_time_new_from_unix_utc (unix_ms / 1000);

  return utc ? g_date_time_to_timezone (utc, zone) : NULL;
}

/* A format that a translation got wrong must not leave a hole: then it is the untranslated one. */
static char *
format_time (const RakeEntry *entry, const char *format, const char *untranslated)
{
  g_autoptr (GDateTime) time = new_bench_time (entry->happened_ms, entry->utc_offset_minutes);
  char *text = time ? g_date_time_format (time, format) : NULL;

  if (time && (!text || !*text))
    {
      g_free (text);
      text = g_date_time_format (time, untranslated);
    }
  return text ? text : g_strdup ("");
}

char *
rake_say_clock (const RakeEntry *entry)
{
  /* Translators: a time of day, as g_date_time_format() takes it. */
  return format_time (entry, C_ ("time of day", "%H:%M"), "%H:%M");
}

char *
rake_say_day (const RakeEntry *entry)
{
  return format_time (entry, C_ ("day", "%a %-d %b"), "%a %-d %b");
}

char *
rake_say_when (const RakeEntry *entry, gint64 now_ms)
{
  g_autoptr (GDateTime) then = new_bench_time (entry->happened_ms, entry->utc_offset_minutes);
  g_autoptr (GDateTime) now = new_bench_time (now_ms, entry->utc_offset_minutes);
  gint64 age_ms = now_ms - entry->happened_ms;

  if (!then || !now)
    return g_strdup ("");
  if (g_date_time_get_year (then) == g_date_time_get_year (now) &&
      g_date_time_get_day_of_year (then) == g_date_time_get_day_of_year (now))
    return rake_say_clock (entry);
  if (age_ms >= 0 && age_ms < 6 * 24 * 3600 * G_GINT64_CONSTANT (1000))
    return format_time (entry, C_ ("day and time", "%a %H:%M"), "%a %H:%M");
  if (g_date_time_get_year (then) == g_date_time_get_year (now))
    return format_time (entry, C_ ("day and time", "%-d %b %H:%M"), "%-d %b %H:%M");
  return format_time (entry, C_ ("day and time", "%-d %b %Y %H:%M"), "%-d %b %Y %H:%M");
}

const char *
rake_say_grade (const RakeStage *stage)
{
  return stage->grade && *stage->grade ? stage->grade : _ (rake_action_get_label (stage->action));
}

char *
rake_say_stage (const RakeStage *stage)
{
  const char *action = _ (rake_action_get_label (stage->action));

  if (!stage->grade || !*stage->grade)
    return g_strdup (action);
  /* Translators: a step of the schedule: what is done, and the grit or compound: "Level P800". */
  return g_strdup_printf (C_ ("stage", "%s %s"), action, stage->grade);
}

char *
rake_say_passes (const RakeZone *zone)
{
  guint n_passes = 0;

  if (!zone->stage)
    return NULL;
  for (guint i = 0; i < zone->history->len; i++)
    {
      const RakeEntry *entry = zone->history->pdata[i];

      /* What came before a new coat is history of another film. */
      if (entry->kind == RAKE_ENTRY_COAT)
        n_passes = 0;
      else if (entry->kind == RAKE_ENTRY_PASS && rake_id_equal (entry->pass.stage, zone->stage->id))
        n_passes++;
    }
  /* Translators: %s is a grit or a compound: "3 passes at P800". */
  return g_strdup_printf (ngettext ("%u pass at %s", "%u passes at %s", n_passes), n_passes,
                          rake_say_grade (zone->stage));
}

const char *
rake_say_surface (RakeSurface surface)
{
  switch (surface)
    {
    case RAKE_SURFACE_DRY:
      return C_ ("surface", "dry");
    case RAKE_SURFACE_WET:
      return C_ ("surface", "wet");
    case RAKE_SURFACE_DUSTY:
      return C_ ("surface", "dusty");
    case RAKE_SURFACE_WARM:
      return C_ ("surface", "warm");
    case RAKE_SURFACE_HAZED:
      return C_ ("surface", "hazed by compound");
    case RAKE_SURFACE_UNSAID:
    default:
      return NULL;
    }
}

const char *
rake_say_wipe (RakeWipe wipe)
{
  switch (wipe)
    {
    case RAKE_WIPE_NOTHING:
      return _ ("not wiped");
    case RAKE_WIPE_DRY_CLOTH:
      return _ ("wiped with a dry cloth");
    case RAKE_WIPE_DAMP_CLOTH:
      return _ ("wiped with a damp cloth");
    case RAKE_WIPE_SPIRIT:
      return _ ("wiped with spirit");
    case RAKE_WIPE_UNSAID:
    default:
      return NULL;
    }
}

const char *
rake_say_light (RakeLight light)
{
  switch (light)
    {
    case RAKE_LIGHT_LAMP:
      return C_ ("light", "low lamp");
    case RAKE_LIGHT_DAYLIGHT:
      return C_ ("light", "daylight");
    case RAKE_LIGHT_ROOM:
      return C_ ("light", "room light");
    case RAKE_LIGHT_POINT:
      return C_ ("light", "point light");
    case RAKE_LIGHT_UNSAID:
    default:
      return NULL;
    }
}

const char *
rake_say_paper (RakePaper paper)
{
  switch (paper)
    {
    case RAKE_PAPER_FRESH:
      return _ ("fresh paper");
    case RAKE_PAPER_USED:
      return _ ("used paper");
    case RAKE_PAPER_LOADED:
      return _ ("loaded paper");
    case RAKE_PAPER_UNSAID:
    default:
      return NULL;
    }
}

const char *
rake_say_repair_method (RakeRepairMethod method)
{
  switch (method)
    {
    case RAKE_REPAIR_LEVELLED:
      return C_ ("repair", "Sanded out, nothing added");
    case RAKE_REPAIR_SCRAPED:
      return C_ ("repair", "Scraped off");
    case RAKE_REPAIR_DROP_FILL:
      return C_ ("repair", "Drop fill");
    case RAKE_REPAIR_FILL:
      return C_ ("repair", "Another filler");
    case RAKE_REPAIR_COLOUR:
      return C_ ("repair", "Colour touched up");
    case RAKE_REPAIR_RECOAT:
      return C_ ("repair", "Whole face recoated");
    case RAKE_REPAIR_UNSAID:
    default:
      return NULL;
    }
}

static void
add_part (GString *text, const char *part)
{
  if (!part)
    return;
  if (text->len)
    /* Translators: between the parts of a list: "dry, wiped with spirit". */
    g_string_append (text, C_ ("list", ", "));
  g_string_append (text, part);
}

char *
rake_say_look (const RakeLookBody *look)
{
  GString *text = g_string_new (NULL);

  add_part (text, rake_say_surface (look->surface));
  add_part (text, rake_say_wipe (look->wiped_with));
  if (isfinite (look->lamp_deg))
    {
      g_autofree char *lamp = g_strdup_printf (_ ("lamp at %.0f°"), look->lamp_deg);

      if (look->light != RAKE_LIGHT_LAMP)
        add_part (text, rake_say_light (look->light));
      add_part (text, lamp);
    }
  else
    add_part (text, rake_say_light (look->light));
  return g_string_free (text, FALSE);
}

char *
rake_say_mark (const RakeMark *mark)
{
  const char *word = _ (rake_mark_kind_get_label (mark->kind));
  double extent_mm = mark->shape ? rake_shape_get_extent_mm (mark->shape) : 0;
  g_autofree char *length = NULL;

  if (extent_mm < 0.05)
    return g_strdup (word);
  length = rake_say_length (extent_mm);
  /* Translators: what was marked, and how long or wide it is: "Scratch, 49 mm". */
  return g_strdup_printf (C_ ("mark", "%s, %s"), word, length);
}

char *
rake_say_photo (const RakeJob *job, const RakePhoto *photo, gint64 now_ms)
{
  const RakeStage *stage = rake_job_find_stage (job, photo->placed->photo.stage);
  g_autofree char *when = rake_say_when (photo->entry, now_ms);
  g_autofree char *where = stage ? rake_say_stage (stage) : NULL;

  /* Translators: when a photograph was taken, and at which stage. */
  return where ? g_strdup_printf (_ ("%s, %s"), when, where) : g_steal_pointer (&when);
}

const char *
rake_say_verdict_class (RakeVerdict verdict)
{
  switch (verdict)
    {
    case RAKE_VERDICT_READY:
      return "verdict-ready";
    case RAKE_VERDICT_SAND_AGAIN:
      return "verdict-sand-again";
    case RAKE_VERDICT_LOOK_AGAIN:
      return "verdict-look-again";
    case RAKE_VERDICT_WAIT:
      return "verdict-wait";
    case RAKE_VERDICT_STOP:
      return "verdict-stop";
    case RAKE_VERDICT_REPAIR:
      return "verdict-repair";
    case RAKE_VERDICT_NONE:
    default:
      return "soft";
    }
}

const char *
rake_say_verdict (RakeVerdict verdict)
{
  const char *label = rake_verdict_get_label (verdict);

  return label && *label ? _ (label) : "";
}
