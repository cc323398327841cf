/* draw-sample.c - writes pictures of made-up faces into a folder, to be looked at.
 *
 *   draw-sample FOLDER */
#include "sample.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

static const char *const theme_names[] = { "dark", "light", "paper" };

typedef void (*Draw) (cairo_t *cr, RakeTheme theme, double width_px, double height_px);

static void
draw_sample (cairo_t *cr, Sample *sample, RakeTheme theme, double width_px, double height_px,
             double margin_px, double text_px)
{
  RakeMapView view = sample_view (theme, width_px, height_px, 300);

  view.text_px = text_px;
  view.is_paper = theme == RAKE_THEME_PAPER;
  rake_map_view_fit (&view, sample->face, margin_px);
  rake_map_draw_face (cr, &view, sample->face, sample->judgements);
}

static void
draw_mandola (cairo_t *cr, RakeTheme theme, double width_px, double height_px)
{
  g_autoptr (Sample) sample = sample_new_mandola ();

  draw_sample (cr, sample, theme, width_px, height_px, MIN (58, 0.12 * height_px),
               height_px > 300 ? 13 : 0);
}

static void
draw_zoomed (cairo_t *cr, RakeTheme theme, double width_px, double height_px)
{
  g_autoptr (Sample) sample = sample_new_mandola ();
  RakeMapView view = sample_view (theme, width_px, height_px, 300);

  view.is_paper = theme == RAKE_THEME_PAPER;
  rake_map_view_fit (&view, sample->face, 58);
  rake_map_view_zoom (&view, 3.5, 0.42 * width_px, 0.92 * height_px);
  rake_map_draw_face (cr, &view, sample->face, sample->judgements);
  rake_map_draw_zone_edge (cr, &view, sample->face->zones->pdata[4], RAKE_ZONE_SELECTED);
}

static void
draw_board (cairo_t *cr, RakeTheme theme, double width_px, double height_px)
{
  g_autoptr (Sample) sample = sample_new_board (1400, 320, 7, 3, 3);

  draw_sample (cr, sample, theme, width_px, height_px, 58, 13);
}

static void
draw_buffed (cairo_t *cr, RakeTheme theme, double width_px, double height_px)
{
  g_autoptr (Sample) sample = sample_new_buffed ();

  draw_sample (cr, sample, theme, width_px, height_px, 50, 13);
}

static void
draw_said (cairo_t *cr, RakeTheme theme, double width_px, double height_px)
{
  g_autoptr (Sample) sample = sample_new_said ();
  RakeMapView view = sample_view (theme, width_px, height_px, 60);

  view.is_paper = theme == RAKE_THEME_PAPER;
  rake_map_view_fit (&view, sample->face, 58);
  rake_map_draw_face (cr, &view, sample->face, sample->judgements);
  rake_map_draw_zone_edge (cr, &view, sample->face->zones->pdata[1], RAKE_ZONE_SUGGESTED);
  rake_map_draw_zone_edge (cr, &view, sample->face->zones->pdata[3], RAKE_ZONE_HOVERED);
  rake_map_draw_zone_edge (cr, &view, sample->face->zones->pdata[5],
                           RAKE_ZONE_SELECTED | RAKE_ZONE_HOVERED);
  rake_map_draw_lamp (cr, &view, sample->face, TRUE);
}

static void
draw_many (cairo_t *cr, RakeTheme theme, double width_px, double height_px)
{
  g_autoptr (Sample) sample = sample_new_board (900, 600, 25, 20, 3);

  draw_sample (cr, sample, theme, width_px, height_px, 58, 13);
}

static void
draw_catalogue (cairo_t *cr, RakeTheme theme, double width_px, double height_px)
{
  g_autoptr (Sample) sample = sample_new_catalogue ();

  draw_sample (cr, sample, theme, width_px, height_px, 30, 0);
}

static void
draw_buttons (cairo_t *cr, RakeTheme theme, double width_px, double height_px)
{
  const RakePalette *palette = rake_palette_get (theme);
  const double w = 92, h = 34;

  for (RakeState state = 0; state < RAKE_N_STATES; state++)
    {
      cairo_save (cr);
      cairo_translate (cr, 12 + state * (w + 10), 12);
      rake_map_draw_state_picture (cr, theme, state, w, h);
      cairo_restore (cr);
    }
  for (RakeMarkKind kind = 0; kind < RAKE_N_MARKS; kind++)
    {
      cairo_save (cr);
      cairo_translate (cr, 12 + kind % 8 * (w + 10), 60 + kind / 8 * (h + 10));
      rake_map_draw_mark_picture (cr, theme, kind, w, h);
      cairo_restore (cr);
    }
  cairo_set_source_rgb (cr, palette->card.red, palette->card.green, palette->card.blue);
  cairo_rectangle (cr, 0, 150, width_px, height_px);
  cairo_fill (cr);
  for (guint row = 0; row < 3; row++)
    for (RakeVerdict verdict = 0; verdict <= RAKE_N_VERDICTS; verdict++)
      {
        double size = row == 0 ? 14 : row == 1 ? 20 : 40;
        cairo_save (cr);
        cairo_translate (cr, 12 + verdict * 52, 160 + row * 22 + (row == 2 ? 8 : 0));
        if (verdict < RAKE_N_VERDICTS)
          rake_map_draw_verdict_glyph (cr, theme, verdict, size);
        else
          rake_map_draw_accepted_glyph (cr, theme, size);
        cairo_restore (cr);
      }
  for (guint i = 0; i < 4; i++)
    {
      cairo_save (cr);
      cairo_translate (cr, 470 + 60 * i, 170);
      rake_map_draw_progress_ring (cr, theme, i / 3.0, 40);
      cairo_restore (cr);
    }
}

static gboolean
write_picture (const char *folder, const char *name, RakeTheme theme, int width, int height,
               Draw draw)
{
  g_autofree char *file = g_strdup_printf ("%s-%s-%d.png", name, theme_names[theme], width);
  g_autofree char *path = g_build_filename (folder, file, NULL);
  cairo_surface_t *surface = cairo_image_surface_create (CAIRO_FORMAT_RGB24, width, height);
  cairo_t *cr = cairo_create (surface);
  RakeColour ground = rake_palette_get (theme)->ground;
  gint64 started = g_get_monotonic_time (), once, twice;
  cairo_status_t status;

  cairo_set_source_rgb (cr, ground.red, ground.green, ground.blue);
  cairo_paint (cr);
  draw (cr, theme, width, height);
  once = g_get_monotonic_time ();
  cairo_set_source_rgb (cr, ground.red, ground.green, ground.blue);
  cairo_paint (cr);
  draw (cr, theme, width, height);
  twice = g_get_monotonic_time ();
  status = cairo_surface_write_to_png (surface, path);
  printf ("%-28s %6.1f ms, again %6.1f ms\n", file, (double) (once - started) / 1000,
          (double) (twice - once) / 1000);
  cairo_destroy (cr);
  cairo_surface_destroy (surface);
  return status == CAIRO_STATUS_SUCCESS;
}

/* The same faces as pages: with title, legend and scale bar. */
static gboolean
write_pages (const char *folder)
{
  static const char *const endings[] = { "png", "svg", "pdf" };
  g_autoptr (RakeJob) job = rake_job_new ();
  g_autoptr (Sample) mandola = sample_new_mandola (), board = sample_new_board (1400, 320, 7, 3, 3);

  for (RakeTheme theme = RAKE_THEME_DARK; theme <= RAKE_THEME_PAPER; theme++)
    for (gsize i = 0; i < G_N_ELEMENTS (endings); i++)
      {
        g_autofree char *one =
            g_strdup_printf ("%s/page-%s.%s", folder, theme_names[theme], endings[i]);
        g_autofree char *other =
            g_strdup_printf ("%s/page-board-%s.%s", folder, theme_names[theme], endings[i]);
        g_autoptr (GError) error = NULL;
        if (!rake_map_write (one, job, mandola->face, mandola->judgements, theme, 900, 300,
                             &error) ||
            !rake_map_write (other, job, board->face, board->judgements, theme, 900, 300, &error))
          {
            fprintf (stderr, "%s\n", error->message);
            return FALSE;
          }
      }
  return TRUE;
}

int
main (int argc, char **argv)
{
  static const struct
  {
    const char *name;
    int width, height;
    Draw draw;
  } pictures[] = {
    { "mandola", 920, 740, draw_mandola }, { "mandola", 130, 120, draw_mandola },
    { "mandola", 420, 360, draw_mandola }, { "zoomed", 920, 740, draw_zoomed },
    { "board", 920, 560, draw_board },     { "buffed", 640, 520, draw_buffed },
    { "said", 920, 600, draw_said },
        { "many", 1920, 1080, draw_many },
    { "catalogue", 1500, 420, draw_catalogue }, { "buttons", 840, 270, draw_buttons },
  };

  if (argc != 2)
    {
      fprintf (stderr, "usage: draw-sample FOLDER\n");
      return 2;
    }
  for (gsize i = 0; i < G_N_ELEMENTS (pictures); i++)
    for (RakeTheme theme = RAKE_THEME_DARK; theme <= RAKE_THEME_PAPER; theme++)
      if (!write_picture (argv[1], pictures[i].name, theme, pictures[i].width, pictures[i].height,
                          pictures[i].draw))
        return 1;
  return write_pages (argv[1]) ? 0 : 1;
}
