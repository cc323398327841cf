/* read-photo-write.c - a reading as JSON, and as lines for a person. */
#include "rakelight-config.h"

#include "read-photo-write.h"

#include <glib/gi18n.h>
#include <math.h>

static void
write_ring (JsonText *json, const RakeShape *shape, guint ring)
{
  guint n;
  const double *points = rake_shape_get_ring (shape, ring, &n, NULL);

  json_text_open (json, '[');
  for (guint i = 0; i < n; i++)
    json_text_place (json, points[2 * i], points[2 * i + 1]);
  json_text_close (json, ']');
}

/* A shape of several parts is as many spots. */
static void
write_spot (JsonText *json, const RakePhotoSpot *spot)
{
  guint n_rings = rake_shape_get_n_rings (spot->area);

  for (guint ring = 0; ring < n_rings;)
    {
      gboolean is_hole = FALSE, has_holes = FALSE;

      json_text_open (json, '{');
      json_text_name (json, "polygon");
      write_ring (json, spot->area, ring++);
      for (; ring < n_rings; ring++)
        {
          guint n;
          rake_shape_get_ring (spot->area, ring, &n, &is_hole);
          if (!is_hole)
            break;
          if (!has_holes)
            {
              json_text_name (json, "holes");
              json_text_open (json, '[');
              has_holes = TRUE;
            }
          write_ring (json, spot->area, ring);
        }
      if (has_holes)
        json_text_close (json, ']');
      json_text_name (json, "area_mm2");
      json_text_number (json, round (spot->area_mm2 * 100) / 100);
      json_text_name (json, "contrast");
      json_text_number (json, round (spot->contrast * 1000) / 1000);
      json_text_name (json, "looks");
      json_text_string (json, spot->regime == RAKE_PHOTO_REGIME_AWAY ? "dark" : "bright");
      json_text_name (json, "confidence");
      json_text_number (json, round (spot->confidence * 1000) / 1000);
      if (spot->n_able > 1)
        {
          json_text_name (json, "showing");
          json_text_number (json, spot->n_showing);
          json_text_name (json, "able");
          json_text_number (json, spot->n_able);
        }
      json_text_name (json, "why");
      json_text_string (json, spot->why);
      json_text_close (json, '}');
    }
}

static void
write_scratch (JsonText *json, const RakePhotoScratch *scratch)
{
  json_text_open (json, '{');
  json_text_name (json, "line");
  write_ring (json, scratch->line, 0);
  json_text_name (json, "length_mm");
  json_text_number (json, round (scratch->length_mm * 10) / 10);
  json_text_name (json, "looks");
  json_text_string (json, scratch->contrast < 0 ? "dark" : "bright");
  json_text_name (json, "confidence");
  json_text_number (json, round (scratch->confidence * 1000) / 1000);
  json_text_name (json, "why");
  json_text_string (json, scratch->why);
  json_text_close (json, '}');
}

static void
write_zone (JsonText *json, const RakePhotoZone *zone, const char *name)
{
  json_text_open (json, '{');
  json_text_name (json, "name");
  json_text_string (json, name);
  json_text_name (json, "regime");
  json_text_string (json, rake_photo_regime_get_name (zone->regime));
  json_text_name (json, "confidence");
  json_text_number (json, round (zone->confidence * 1000) / 1000);
  json_text_name (json, "seen_fraction");
  json_text_number (json, round (zone->seen_fraction * 1000) / 1000);
  json_text_name (json, "obstacle");
  json_text_string (json, rake_photo_obstacle_get_name (zone->obstacle));
  json_text_name (json, "advice");
  json_text_string (json, zone->advice);
  json_text_close (json, '}');
}

static void
write_fractions (JsonText *json, const RakePhotoReading *reading, const GPtrArray *names)
{
  json_text_name (json, "glossy_fraction");
  json_text_open (json, '{');
  for (guint i = 0; i < reading->n_zones; i++)
    if (reading->zones[i].obstacle == RAKE_PHOTO_READABLE)
      {
        json_text_name (json, names->pdata[i]);
        json_text_number (json, round (reading->zones[i].glossy_fraction * 1e4) / 1e4);
      }
  json_text_close (json, '}');
  json_text_name (json, "declined");
  json_text_open (json, '[');
  for (guint i = 0; i < reading->n_zones; i++)
    if (reading->zones[i].obstacle != RAKE_PHOTO_READABLE)
      json_text_string (json, names->pdata[i]);
  json_text_close (json, ']');
}

static void
write_reading (JsonText *json, const RakePhotoReading *reading, const GPtrArray *names)
{
  json_text_open (json, '{');
  json_text_name (json, "obstacle");
  json_text_string (json, rake_photo_obstacle_get_name (reading->obstacle));
  json_text_name (json, "advice");
  json_text_string (json, reading->advice);
  json_text_name (json, "low_spots");
  json_text_open (json, '[');
  for (guint i = 0; i < reading->spots->len; i++)
    write_spot (json, reading->spots->pdata[i]);
  json_text_close (json, ']');
  json_text_name (json, "scratches");
  json_text_open (json, '[');
  for (guint i = 0; i < reading->scratches->len; i++)
    write_scratch (json, reading->scratches->pdata[i]);
  json_text_close (json, ']');
  write_fractions (json, reading, names);
  json_text_name (json, "zones");
  json_text_open (json, '[');
  for (guint i = 0; i < reading->n_zones; i++)
    write_zone (json, &reading->zones[i], names->pdata[i]);
  json_text_close (json, ']');
  json_text_close (json, '}');
}

static void
say_reading (const char *name, const RakePhotoReading *reading, const GPtrArray *names)
{
  g_autofree char *spots = NULL, *scratches = NULL;

  if (reading->obstacle != RAKE_PHOTO_READABLE)
    {
      g_print ("%s: %s\n", name, reading->advice);
      return;
    }
  spots = g_strdup_printf (ngettext ("%u low spot", "%u low spots", reading->spots->len),
                           reading->spots->len);
  scratches = g_strdup_printf (ngettext ("%u scratch", "%u scratches", reading->scratches->len),
                               reading->scratches->len);
  g_print ("%s: %s, %s\n", name, spots, scratches);
  for (guint i = 0; i < reading->n_zones; i++)
    {
      const RakePhotoZone *zone = &reading->zones[i];

      if (zone->obstacle == RAKE_PHOTO_READABLE)
        g_print (_ ("  %s: %.1f %% glossy\n"), (const char *) names->pdata[i],
                 100 * zone->glossy_fraction);
      else
        g_print ("  %s: %s\n", (const char *) names->pdata[i], zone->advice);
    }
}

static void
sum_up_reading (JsonText *summary, const char *name, const RakePhotoReading *reading,
                const GPtrArray *names)
{
  json_text_open (summary, '{');
  json_text_name (summary, "name");
  json_text_string (summary, name);
  json_text_name (summary, "obstacle");
  json_text_string (summary, rake_photo_obstacle_get_name (reading->obstacle));
  json_text_name (summary, "low_spots");
  json_text_number (summary, reading->spots->len);
  json_text_name (summary, "scratches");
  json_text_number (summary, reading->scratches->len);
  write_fractions (summary, reading, names);
  json_text_close (summary, '}');
}

CliExit
read_photo_tell (const char *name, const RakePhotoReading *reading, const GPtrArray *zone_names,
                 const char *out, JsonText *summary)
{
  g_autoptr (GError) error = NULL;
  g_auto (JsonText) json = { 0 };

  json_text_init (&json);
  write_reading (&json, reading, zone_names);
  if (out == NULL)
    return json_text_print (&json) ? CLI_DONE : CLI_OUTPUT;
  if (!json_text_save (&json, out, &error))
    return cli_fail (CLI_OUTPUT, g_steal_pointer (&error));
  if (summary != NULL)
    sum_up_reading (summary, name, reading, zone_names);
  else
    say_reading (name, reading, zone_names);
  return CLI_DONE;
}
