/* film-cut-words.c - the ruler of a film cut, what its layers are called, and the cut in words. */
#include "film-cut-private.h"
#include "words.h"

#include <rakelight/units.h>

#include <math.h>

#define MOST_WORDS 6
#define PAD_PX 4.0
#define INSET_PX 6.0
#define TICK_PX 5.0
#define RULER_STEPS 4

typedef struct
{
  PangoLayout *layout;
  RakeColour colour;
  double y_px, width_px, height_px;  /* y: of its upper edge */
} Word;

typedef struct
{
  const RakePen *pen;
  const RakeFilmCut *cut;
  const RakeFilmScale *scale;
  Word words[MOST_WORDS];
  guint n_words;
} Words;

/* --- what the layers are called -------------------------------------------------------------------- */

/* @beside_px  where its upper edge would like to be */
static void
add_word (Words *words, const char *text, double beside_px, RakeColour colour, gboolean is_bold)
{
  Word *word = &words->words[words->n_words];

  if (words->n_words == MOST_WORDS)
    return;
  word->layout = rake_words_new (words->pen->cr, text, words->cut->text_px, is_bold);
  rake_words_limit (word->layout, words->scale->width_px * 0.72);
  rake_words_get_size (word->layout, &word->width_px, &word->height_px);
  word->width_px = MIN (word->width_px, words->scale->width_px * 0.72);
  word->colour = colour;
  word->y_px = beside_px;
  words->n_words++;
}

static char *say (double mean_um, double sd_um, const char *format) G_GNUC_FORMAT (3);

static char *
say (double mean_um, double sd_um, const char *format)
{
  g_autofree char *amount = isfinite (sd_um) && sd_um > 0
                                ? rake_units_to_text_with_doubt (RAKE_MEASURE_FILM, mean_um, sd_um)
                                : rake_units_to_text (RAKE_MEASURE_FILM, mean_um);

  return g_strdup_printf (format, amount);
}

static char *
say_left (const RakeFilm *film)
{
  /* Translators: the film that is there: "109 ± 6 µm left". */
  return say (film->film.mean, film->film.sd, _ ("%s left"));
}

static char *
say_last_coat (const RakeFilm *film)
{
  if (!isfinite (film->last_coat.mean))
    return NULL;
  return say (film->last_coat.mean, film->last_coat.sd, _ ("last coat %s"));
}

/* What is still to be taken: until level enough, and by the stages after this one. */
static double
get_planned_um (const RakeFilm *film, const RakeForecast *forecast)
{
  double planned_um = isfinite (film->to_come.mean) ? film->to_come.mean : 0;

  if (forecast != NULL && forecast->standing == RAKE_FORECAST_SAYS)
    planned_um += forecast->needed_um;
  return planned_um;
}

static double
get_taken_um (const RakeFilm *film)
{
  return isfinite (film->sprayed.mean) ? MAX (film->sprayed.mean - film->film.mean, 0) : 0;
}

static void
add_said (Words *words, char *text, double below_um, RakeColour colour, gboolean is_bold)
{
  g_autofree char *owned = text;

  if (owned != NULL)
    add_word (words, owned, rake_film_scale_get_y (words->scale, below_um) + PAD_PX, colour,
              is_bold);
}

static void
collect (Words *words)
{
  const RakeFilm *film = words->cut->film;
  const RakePalette *palette = words->pen->palette;
  const RakeFilmScale *scale = words->scale;
  double taken_um = get_taken_um (film), planned_um = get_planned_um (film, words->cut->forecast);

  if (taken_um > 0.05)
    add_said (words, say (taken_um, NAN, _ ("%s taken")), scale->sprayed_um, palette->soft_ink,
              FALSE);
  add_said (words, say_left (film), scale->now_um, palette->ink, TRUE);
  if (planned_um > 0.05)
    add_said (words, say (planned_um, NAN, _ ("%s more planned")), scale->now_um - planned_um,
              palette->lamp, FALSE);
  if (isfinite (film->last_coat.mean))
    add_said (words, say_last_coat (film), scale->now_um - film->last_coat.mean,
              palette->verdict[RAKE_VERDICT_REPAIR], FALSE);
  if (isfinite (scale->reserve_um))
    add_said (words, say (scale->reserve_um, NAN, _ ("reserve %s")), scale->reserve_um,
              palette->verdict[RAKE_VERDICT_STOP], FALSE);
}

static int
compare_words (gconstpointer a, gconstpointer b)
{
  const Word *one = a, *other = b;

  return one->y_px < other->y_px ? -1 : one->y_px > other->y_px;
}

/* Down from the top where one lies on the next, then up from the bottom where they ran out of room. */
static void
move_apart (Words *words)
{
  double bottom_px = words->scale->bottom_px - PAD_PX;

  qsort (words->words, words->n_words, sizeof (Word), compare_words);
  for (guint i = 0; i < words->n_words; i++)
    {
      const Word *above = i > 0 ? &words->words[i - 1] : NULL;
      double least_px = above != NULL ? above->y_px + above->height_px + 2 : PAD_PX;
      words->words[i].y_px = MAX (words->words[i].y_px, least_px);
    }
  for (guint i = words->n_words; i-- > 0;)
    {
      words->words[i].y_px = MIN (words->words[i].y_px, bottom_px - words->words[i].height_px);
      bottom_px = words->words[i].y_px - 2;
    }
}

/* On a piece of the card's colour, so that it can be read over amber, hatch and dots alike. */
static void
write_word (const Words *words, const Word *word)
{
  double x_px = words->scale->width_px - word->width_px - INSET_PX;

  cairo_rectangle (words->pen->cr, x_px - PAD_PX, word->y_px, word->width_px + 2 * PAD_PX,
                   word->height_px);
  rake_pen_colour (words->pen, words->pen->palette->card, 0.86);
  cairo_fill (words->pen->cr);
  rake_words_write (words->pen->cr, word->layout, x_px, word->y_px, word->colour);
}

/* --- the ruler --------------------------------------------------------------------------------------- */

/* 1, 2 or 5 times a power of ten of the shown unit, about RULER_STEPS of them. */
static double
choose_step_um (const RakeFilmScale *scale)
{
  double unit_um = rake_units_get ().film_in_mil ? 25.4 : 1;
  double wanted = scale->bottom_px / scale->px_per_um / unit_um / RULER_STEPS;
  double power = pow (10, floor (log10 (wanted)));

  return unit_um * power * (wanted < 2 * power ? 1 : wanted < 5 * power ? 2 : 5);
}

static void
draw_ruler (const RakePen *pen, const RakeFilmCut *cut, const RakeFilmScale *scale)
{
  double step_um = choose_step_um (scale);

  for (double um = step_um; rake_film_scale_get_y (scale, um) > cut->text_px; um += step_um)
    {
      g_autofree char *number = rake_units_to_number (RAKE_MEASURE_FILM, um);
      g_autoptr (PangoLayout) layout = rake_words_new (pen->cr, number, cut->text_px * 0.85, FALSE);
      double y_px = floor (rake_film_scale_get_y (scale, um)) + 0.5, width_px, height_px;

      cairo_move_to (pen->cr, 0, y_px);
      cairo_line_to (pen->cr, TICK_PX, y_px);
      rake_pen_line (pen, pen->palette->ink, 0.9, 1);
      cairo_stroke (pen->cr);
      rake_words_get_size (layout, &width_px, &height_px);
      cairo_rectangle (pen->cr, TICK_PX + 1, y_px - height_px / 2, width_px + 4, height_px);
      rake_pen_colour (pen, pen->palette->card, 0.75);
      cairo_fill (pen->cr);
      rake_words_write (pen->cr, layout, TICK_PX + 3, y_px - height_px / 2, pen->palette->soft_ink);
    }
}

static void
write_ground (const RakePen *pen, const RakeFilmCut *cut, const RakeFilmScale *scale)
{
  g_autoptr (PangoLayout) layout =
      rake_words_new (pen->cr, _ ("colour and wood"), cut->text_px * 0.9, FALSE);
  double width_px, height_px, room_px = scale->height_px - scale->bottom_px;

  rake_words_get_size (layout, &width_px, &height_px);
  if (height_px <= room_px + 2)
    rake_words_write (pen->cr, layout, INSET_PX, scale->bottom_px + (room_px - height_px) / 2,
                      pen->palette->ink);
}

void
rake_film_cut_write_words (const RakePen *pen, const RakeFilmCut *cut, const RakeFilmScale *scale)
{
  Words words = { .pen = pen, .cut = cut, .scale = scale };

  if (!(cut->text_px > 0))
    return;
  draw_ruler (pen, cut, scale);
  write_ground (pen, cut, scale);
  collect (&words);
  move_apart (&words);
  for (guint i = 0; i < words.n_words; i++)
    {
      write_word (&words, &words.words[i]);
      g_object_unref (words.words[i].layout);
    }
}

/* --- in words ---------------------------------------------------------------------------------------- */

static void
append (GString *text, char *part)
{
  if (part != NULL)
    g_string_append_printf (text, "%s%s", text->len > 0 ? "; " : "", part);
  g_free (part);
}

char *
rake_film_cut_describe (const RakeFilm *film, const RakeForecast *forecast)
{
  g_autoptr (GString) text = g_string_new (NULL);
  double planned_um = get_planned_um (film, forecast);

  if (film->standing != RAKE_FILM_KNOWN)
    return rake_film_describe_standing (film);
  if (isfinite (film->sprayed.mean))
    append (text, say (film->sprayed.mean, film->sprayed.sd, _ ("%s sprayed")));
  if (get_taken_um (film) > 0.05)
    append (text, say (get_taken_um (film), NAN, _ ("%s taken")));
  append (text, say_left (film));
  append (text, say_last_coat (film));
  if (isfinite (film->reserve_um))
    append (text, say (film->reserve_um, NAN, _ ("reserve %s")));
  if (planned_um > 0.05)
    append (text, say (planned_um, NAN, _ ("%s more planned")));
  return g_strdup (text->str);
}
