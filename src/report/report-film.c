/* report-film.c - what is left of the film on each zone, and how it came to that, line by line. */
#include "report-private.h"

#include <rakelight/film.h>

#include <math.h>

typedef struct
{
  RakeReport *report;
  RakeRates *rates;
  RakeGrid *now, *ledger;
} Books;

/* What was taken has its sign; a reading is what was read. */
static char *
describe_change (const RakeFilmLine *line)
{
  g_autofree char *text = NULL;
  RakeNormal size = { fabs (line->change.mean), line->change.sd };

  if (line->kind == RAKE_FILM_READING || !isfinite (line->change.mean))
    return rake_print_normal (line->change, 1);
  text = rake_print_normal (size, 1);
  return g_strconcat (line->change.mean < 0 ? "−" : "+", text, NULL);
}

static char *
describe_risk (double risk)
{
  if (!isfinite (risk))
    return g_strdup ("–");
  if (risk > 0 && risk < 0.001)
    return g_strdup (C_ ("share", "under 0.1 %"));
  return rake_print_measure (risk * 100, risk < 0.1 ? 1 : 0, "%");
}

static void
add_zone_now (Books *books, const RakeZone *zone, const RakeFilm *film)
{
  RakeGrid *grid = books->now;
  g_autofree char *why = rake_film_describe_standing (film);

  rake_grid_add_row (grid);
  rake_grid_add_with (grid, zone->name, RAKE_CELL_STRONG, RAKE_SIGN_NONE, 0);
  rake_grid_take (grid, rake_print_normal (film->film, 1));
  rake_grid_take (grid, rake_print_normal (film->last_coat, 1));
  rake_grid_take (grid, rake_print_film (film->reserve_um, 0));
  rake_grid_take (grid, describe_risk (film->risk_now));
  rake_grid_take (grid, describe_risk (film->risk_after_next_pass));
  rake_grid_take (grid, describe_risk (film->risk_at_end));
  rake_grid_add (grid, why);
}

/* Coats that were told alike make one line of the book. Returns the index of the last of them. */
static guint
find_end_of_coats (const RakeFilm *film, guint first)
{
  const RakeFilmLine *line = &g_array_index (film->lines, RakeFilmLine, first);
  guint last = first;

  while (line->kind == RAKE_FILM_COAT && last + 1 < film->lines->len)
    {
      const RakeFilmLine *next = &g_array_index (film->lines, RakeFilmLine, last + 1);

      if (next->kind != RAKE_FILM_COAT || next->way != line->way)
        break;
      last++;
    }
  return last;
}

static void
add_line (RakeGrid *grid, const RakeFilm *film, guint first, guint last)
{
  const RakeFilmLine *line = &g_array_index (film->lines, RakeFilmLine, last);
  g_autofree char *what = rake_film_line_describe (line);
  double before = first > 0 ? g_array_index (film->lines, RakeFilmLine, first - 1).film.mean : 0;

  rake_grid_add_row (grid);
  rake_grid_take (grid, line->entry != NULL ? rake_print_day (line->entry->happened_ms,
                                                              line->entry->utc_offset_minutes)
                                            : g_strdup (""));
  if (last > first)
    {
      const RakeNormal sum = { line->film.mean - before, 0 };
      g_autofree char *change = rake_print_normal (sum, 1);

      rake_grid_take (grid, g_strdup_printf ("%u × %s", last - first + 1, what));
      rake_grid_take (grid, g_strconcat ("+", change, NULL));
    }
  else
    {
      rake_grid_add (grid, what);
      rake_grid_take (grid, describe_change (line));
    }
  rake_grid_take (grid, rake_print_normal (line->film, 1));
  rake_grid_take (grid, rake_print_normal (line->last_coat, 1));
}

static void
add_zone_ledger (Books *books, const RakeZone *zone, const RakeFilm *film)
{
  RakeGrid *grid = books->ledger;
  g_autofree char *title = g_strdup_printf ("%s: %s", zone->face->name, zone->name);

  if (film->lines->len == 0)
    return;
  rake_grid_add_group (grid, title);
  for (guint i = 0, last; i < film->lines->len; i = last + 1)
    {
      last = find_end_of_coats (film, i);
      add_line (grid, film, i, last);
    }
}

static void
add_face (Books *books, const RakeFace *face)
{
  const RakeLimits *limits = rake_rules_get_limits (books->report->rules);

  rake_grid_add_group (books->now, face->name);
  for (guint i = 0; i < face->zones->len; i++)
    {
      const RakeZone *zone = face->zones->pdata[i];
      g_autoptr (RakeFilm) film = rake_film_take (books->report->job, zone, books->rates, limits);

      add_zone_now (books, zone, film);
      add_zone_ledger (books, zone, film);
    }
}

static void
add_columns (Books *books)
{
  rake_grid_add_column (books->now, _ ("Zone"), RAKE_ALIGN_LEFT, 0.4);
  rake_grid_add_column (books->now, _ ("Film now"), RAKE_ALIGN_RIGHT, 0);
  rake_grid_add_column (books->now, _ ("Above the last line"), RAKE_ALIGN_RIGHT, 0);
  rake_grid_add_column (books->now, _ ("Reserve"), RAKE_ALIGN_RIGHT, 0);
  rake_grid_add_column (books->now, _ ("Risk now"), RAKE_ALIGN_RIGHT, 0);
  rake_grid_add_column (books->now, _ ("After a pass"), RAKE_ALIGN_RIGHT, 0);
  rake_grid_add_column (books->now, _ ("At the end"), RAKE_ALIGN_RIGHT, 0);
  rake_grid_add_column (books->now, "", RAKE_ALIGN_LEFT, 1);
  rake_grid_add_column (books->ledger, _ ("Day"), RAKE_ALIGN_LEFT, 0);
  rake_grid_add_column (books->ledger, _ ("What"), RAKE_ALIGN_LEFT, 1);
  rake_grid_add_column (books->ledger, _ ("Change"), RAKE_ALIGN_RIGHT, 0);
  rake_grid_add_column (books->ledger, _ ("Film after it"), RAKE_ALIGN_RIGHT, 0);
  rake_grid_add_column (books->ledger, _ ("Above the last line"), RAKE_ALIGN_RIGHT, 0);
}

void
rake_report_print_film (RakeReport *report)
{
  RakeFlow *flow = &report->flow;
  g_autoptr (RakeRates) rates = rake_rates_take (report->job);
  g_autoptr (RakeGrid) now = rake_grid_new (), ledger = rake_grid_new ();
  Books books = { report, rates, now, ledger };

  if (rake_job_get_n_faces (report->job) == 0)
    return;
  add_columns (&books);
  for (guint i = 0; i < rake_job_get_n_faces (report->job); i++)
    add_face (&books, rake_job_get_face (report->job, i));
  rake_flow_heading (flow, 1, _ ("Film"));
  rake_flow_paragraph (flow, RAKE_TYPE_SOFT,
                       _ ("Dry clear film over colour or wood, as far as it can be reckoned: a "
                          "mean and its standard "
                          "deviation. The risk is that of less than the reserve being left, "
                          "somewhere. What is assumed and "
                          "what was measured is said in each line."));
  rake_flow_grid (flow, now, RAKE_TYPE_SMALL);
  if (rake_grid_get_n_rows (ledger) > 0)
    {
      rake_flow_heading (flow, 2, _ ("How it came to that"));
      rake_flow_grid (flow, ledger, RAKE_TYPE_SMALL);
    }
  rake_flow_end_section (flow);
}
