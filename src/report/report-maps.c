/* report-maps.c - the faces at every stage they have been at, and what is asked of each zone now. */
#include "report-private.h"

#include <math.h>

#define MOST_PT 300.0      /* high, as it is now */
#define HALF_MOST_PT 215.0 /* as it was */
#define LEAST_PT 56.0
#define RIM_PT 14.0
#define GAP_PT 16.0
#define BAR_PT 12.0
#define LEGEND_GAP_PT 8.0
#define LABEL_PT 7.6
#define CAPTION_LINES 2
#define LEADING_PT rake_type_get_leading (RAKE_TYPE_SMALL)

/* --- moments --------------------------------------------------------------------------------- */

static gboolean
is_work (const RakeEntry *entry)
{
  return entry->kind == RAKE_ENTRY_PASS || entry->kind == RAKE_ENTRY_LOOK ||
         entry->kind == RAKE_ENTRY_REPAIR;
}

static void
find_moments_of_face (const RakeJob *job, const RakeNames *names, RakeId face, GArray *moments)
{
  gboolean has_work = FALSE;
  RakeReportMoment now = { face, rake_job_get_n_entries (job), TRUE, FALSE };

  for (guint i = 0; i < rake_job_get_n_entries (job); i++)
    {
      const RakeEntry *entry = rake_job_get_entry (job, i);
      gboolean is_out = rake_job_is_struck (job, entry->id) || rake_job_is_void (job, entry->id);

      if (is_out || !rake_id_equal (rake_names_find_face_of (names, entry), face))
        continue;
      if (entry->kind == RAKE_ENTRY_BEGIN_STAGE && has_work)
        {
          RakeReportMoment moment = { face, i, FALSE, FALSE };
          g_array_append_val (moments, moment);
          has_work = FALSE;
        }
      has_work |= is_work (entry);
    }
  g_array_append_val (moments, now);
}

GArray *
rake_report_find_moments (const RakeJob *job)
{
  GArray *moments = g_array_new (FALSE, FALSE, sizeof (RakeReportMoment));
  g_autoptr (RakeNames) names = rake_names_new (job);

  for (guint i = 0; i < rake_job_get_n_faces (job); i++)
    find_moments_of_face (job, names, rake_job_get_face (job, i)->id, moments);
  return moments;
}

/* --- one map --------------------------------------------------------------------------------- */

/* A face as it was, with what it was judged by: all of it goes when the picture is drawn. */
typedef struct
{
  RakeJob *then; /* NULL: the present */
  RakeRules *rules;
  GPtrArray *judgements;
  const RakeFace *face;
  char *caption, *alternative;
  double width, map_height, legend_height;
} View;

static void
view_clear (View *view)
{
  g_clear_pointer (&view->judgements, g_ptr_array_unref);
  g_clear_pointer (&view->rules, rake_rules_unref);
  g_clear_pointer (&view->then, rake_job_free);
  g_clear_pointer (&view->caption, g_free);
  g_clear_pointer (&view->alternative, g_free);
}

/* "Front at Level P800, as it was on 2026-03-01 14:20, after entry 34 of 180." */
static char *
describe_map (const RakeReport *report, const RakeReportMoment *moment, const RakeFace *face,
              const RakeEntry *last)
{
  g_autofree char *stage = rake_print_stage (face->stage);
  g_autofree char *time = rake_print_time (last->happened_ms, last->utc_offset_minutes);

  if (moment->is_hand_over)
    /* Translators: a face, its stage, a time. */
    return g_strdup_printf (_ ("%s at %s, as it was handed over; last entry %s."), face->name,
                            stage, time);
  if (moment->is_now)
    /* Translators: a face, its stage, a time. */
    return g_strdup_printf (_ ("%s at %s, as it is now; last entry %s."), face->name, stage, time);
  return g_strdup_printf (
      _ ("%s at the end of %s, %s: after the first %u of %u entries of the logbook."), face->name,
      stage, time, moment->n_entries, rake_job_get_n_entries (report->job));
}

static char *
describe_for_who_cannot_see (const char *caption, const View *view)
{
  GString *text = g_string_new (caption);

  for (guint i = 0; i < view->face->zones->len; i++)
    {
      const RakeZone *zone = view->face->zones->pdata[i];
      const RakeJudgement *judgement = view->judgements->pdata[i];

      g_string_append_printf (text, "%s%s: %s", i > 0 ? "; " : " ", zone->name,
                              judgement->is_accepted && rake_judgement_is_settled (judgement)
                                  ? _ ("Accepted")
                                  : _ (rake_verdict_get_label (judgement->verdict)));
    }
  return g_string_free (text, FALSE);
}

static double
choose_map_height (const RakeFace *face, double width, double most)
{
  RakeBounds box = rake_shape_get_bounds (face->outline);
  double width_mm = MAX (box.max_x_mm - box.min_x_mm, 1e-3);
  double height_mm = MAX (box.max_y_mm - box.min_y_mm, 1e-3);
  double whole = (width - 2 * RIM_PT) * height_mm / width_mm + 2 * RIM_PT;

  /* A neck is not to fill a page. */
  if (height_mm > 2.5 * width_mm)
    most *= 0.7;
  return CLAMP (whole, LEAST_PT, most);
}

/* FALSE when the face was not there yet. */
static gboolean
view_init (View *view, RakeReport *report, const RakeReportMoment *moment, double width,
           double most)
{
  guint n = MAX (moment->n_entries, 1);
  const RakeEntry *last = rake_job_get_entry (report->job, n - 1);
  const RakeJob *job = report->job;

  *view = (View){ .width = width };
  if (!moment->is_now)
    job = view->then = rake_job_new_until (report->job, moment->n_entries);
  view->face = rake_job_find_face (job, moment->face);
  if (view->face == NULL)
    return FALSE;
  view->rules = rake_rules_for_job (job, (RakeRules *) report->options->rules);
  view->judgements = rake_report_judge (
      view->rules, job, view->face, moment->is_now ? report->options->now_ms : last->happened_ms);
  view->map_height = choose_map_height (view->face, width, most);
  view->legend_height =
      rake_map_draw_legend (report->flow.cr, RAKE_THEME_PAPER, view->face,
                            (RakeJudgement *const *) view->judgements->pdata, width, FALSE);
  view->caption = describe_map (report, moment, view->face, last);
  view->alternative = describe_for_who_cannot_see (view->caption, view);
  return TRUE;
}

static void
draw_view (RakeFlow *flow, const View *shown, double label)
{
  RakeMapView view = { .theme = RAKE_THEME_PAPER,
                       .width_px = shown->width,
                       .height_px = shown->map_height,
                       .lamp_deg = NAN,
                       .text_px = label,
                       .is_paper = TRUE };
  RakeJudgement *const *judgements = (RakeJudgement *const *) shown->judgements->pdata;

  rake_map_view_fit (&view, shown->face, RIM_PT);
  rake_map_draw_face (flow->cr, &view, shown->face, judgements);
  rake_map_draw_scale_bar (flow->cr, &view, 1, shown->map_height + BAR_PT - 3);
  cairo_save (flow->cr);
  cairo_translate (flow->cr, 0, shown->map_height + BAR_PT + LEGEND_GAP_PT);
  rake_map_draw_legend (flow->cr, RAKE_THEME_PAPER, shown->face, judgements, shown->width, TRUE);
  cairo_restore (flow->cr);
}

static double
get_height (const View *view)
{
  return view->map_height + BAR_PT + LEGEND_GAP_PT + view->legend_height;
}

/* --- as it is now ---------------------------------------------------------------------------- */

static void
draw_now (RakeFlow *flow, double width, double height, gpointer user_data)
{
  draw_view (flow, user_data, LABEL_PT);
}

/* --- as it was: two beside each other -------------------------------------------------------- */

typedef struct
{
  View views[2];
  guint n;
} Past;

static double
get_half (const RakeFlow *flow)
{
  return (flow->width - GAP_PT) / 2;
}

/* The legends are of different heights, the captions begin on one line. */
static void
draw_past (RakeFlow *flow, double width, double height, gpointer user_data)
{
  const Past *past = user_data;
  double half = get_half (flow), captions = height - CAPTION_LINES * LEADING_PT;

  for (guint i = 0; i < past->n; i++)
    {
      g_autoptr (PangoLayout) caption =
          rake_flow_lay (flow, RAKE_TYPE_SMALL, past->views[i].caption, half);

      cairo_save (flow->cr);
      cairo_translate (flow->cr, i * (half + GAP_PT), 0);
      draw_view (flow, &past->views[i], LABEL_PT * 0.86);
      rake_flow_draw_lines (flow, caption, RAKE_TYPE_SMALL, 0,
                            MIN (rake_flow_count_lines (caption), CAPTION_LINES), 0, captions, half,
                            RAKE_ALIGN_LEFT);
      cairo_restore (flow->cr);
    }
}

void
rake_report_print_moments (RakeReport *report, const RakeReportMoment *moments, guint n)
{
  RakeFlow *flow = &report->flow;
  Past past = { .n = 0 };
  g_autoptr (GString) alternative = g_string_new (NULL);
  double height = 0;

  for (guint i = 0; i < n; i++)
    {
      View *view = &past.views[past.n];

      if (!view_init (view, report, &moments[i], get_half (flow), HALF_MOST_PT))
        {
          view_clear (view);
          continue;
        }
      past.n++;
      height = MAX (height, get_height (view));
      g_string_append_printf (alternative, "%s%s", alternative->len > 0 ? " " : "",
                              view->alternative);
    }
  if (past.n > 0)
    rake_flow_figure (flow, height + 4 + CAPTION_LINES * LEADING_PT, draw_past, &past,
                      alternative->str, NULL);
  for (guint i = 0; i < past.n; i++)
    view_clear (&past.views[i]);
}

/* --- all of them ----------------------------------------------------------------------------- */

static const RakeReportMoment *
get_moment (const RakeReport *report, guint index)
{
  return &g_array_index (report->moments, RakeReportMoment, index);
}

/* The moments of one face from @first on; returns the index after them. */
static guint
print_face (RakeReport *report, guint first)
{
  RakeFlow *flow = &report->flow;
  guint now = first;
  View view;

  while (!get_moment (report, now)->is_now)
    now++;
  if (view_init (&view, report, get_moment (report, now), flow->width, MOST_PT))
    {
      /* The heading, and the first picture under it. */
      rake_flow_keep (flow, now > first ? HALF_MOST_PT : get_height (&view) + 20);
      rake_flow_heading (flow, 2, view.face->name);
      for (guint i = first; i < now && !flow->is_stopped; i += 2)
        rake_report_print_moments (report, get_moment (report, i), MIN (2, now - i));
      rake_flow_figure (flow, get_height (&view), draw_now, &view, view.alternative, view.caption);
    }
  view_clear (&view);
  return now + 1;
}

void
rake_report_print_maps (RakeReport *report)
{
  RakeFlow *flow = &report->flow;

  if (report->moments->len == 0)
    return;
  rake_flow_keep (flow, 420);
  rake_flow_heading (flow, 1, _ ("Maps, stage by stage"));
  rake_flow_paragraph (
      flow, RAKE_TYPE_SOFT,
      _ ("Each face as the lamp showed it when it left a stage, and as it is now. A pattern "
         "pictures "
         "what was seen, a sign and a word tell what it asks for; the words under each map explain "
         "them."));
  for (guint i = 0; i < report->moments->len && !flow->is_stopped;)
    i = print_face (report, i);
  rake_flow_end_section (flow);
}

/* --- verdicts -------------------------------------------------------------------------------- */

static char *
list_reasons (const RakeJudgement *judgement)
{
  GString *text = g_string_new (NULL);

  if (judgement->acceptance != NULL)
    {
      /* Translators: the reason why a zone was accepted as it is. */
      g_string_append_printf (text, _ ("Accepted: %s"), judgement->acceptance->acceptance.reason);
    }
  for (guint i = 0; i < judgement->reasons->len; i++)
    {
      const RakeReason *reason = judgement->reasons->pdata[i];

      if (text->len > 0)
        g_string_append_c (text, '\n');
      g_string_append (text, reason->sentence);
      if (reason->clears != NULL && !reason->is_accepted)
        g_string_append_printf (text, " → %s", reason->clears);
    }
  return g_string_free (text, FALSE);
}

static void
add_zone_row (RakeGrid *grid, const RakeZone *zone, const RakeJudgement *judgement)
{
  gboolean has_verdict = judgement->verdict != RAKE_VERDICT_NONE;
  gboolean is_accepted = judgement->is_accepted && rake_judgement_is_settled (judgement);

  rake_grid_add_row (grid);
  rake_grid_add_with (grid, zone->name, RAKE_CELL_STRONG, RAKE_SIGN_NONE, 0);
  rake_grid_take (grid, rake_print_area (rake_shape_get_area_mm2 (zone->shape)));
  rake_grid_take (grid, rake_print_stage (zone->stage));
  if (is_accepted)
    rake_grid_add_with (grid, _ ("Accepted"), RAKE_CELL_PLAIN, RAKE_SIGN_ACCEPTED, 0);
  else
    rake_grid_add_with (grid, has_verdict ? _ (rake_verdict_get_label (judgement->verdict)) : "–",
                        RAKE_CELL_PLAIN, has_verdict ? RAKE_SIGN_VERDICT : RAKE_SIGN_NONE,
                        (int) judgement->verdict);
  rake_grid_take (grid, list_reasons (judgement));
}

void
rake_report_print_verdicts (RakeReport *report)
{
  RakeFlow *flow = &report->flow;
  g_autoptr (RakeGrid) grid = rake_grid_new ();
  g_autofree char *time =
      rake_print_time (report->options->now_ms, report->options->utc_offset_minutes);

  rake_grid_add_column (grid, _ ("Zone"), RAKE_ALIGN_LEFT, 0);
  rake_grid_add_column (grid, _ ("Area"), RAKE_ALIGN_RIGHT, 0);
  rake_grid_add_column (grid, _ ("Stage"), RAKE_ALIGN_LEFT, 0);
  rake_grid_add_column (grid, _ ("Verdict"), RAKE_ALIGN_LEFT, 0);
  rake_grid_add_column (grid, _ ("Why, and what would clear it"), RAKE_ALIGN_LEFT, 1);
  for (guint i = 0; i < rake_job_get_n_faces (report->job); i++)
    {
      const RakeFace *face = rake_job_get_face (report->job, i);
      RakeJudgement *const *judgements = rake_report_get_judgements (report, i);

      rake_grid_add_group (grid, face->name);
      for (guint j = 0; j < face->zones->len; j++)
        add_zone_row (grid, face->zones->pdata[j], judgements[j]);
    }
  if (rake_grid_get_n_rows (grid) == 0)
    return;
  rake_flow_heading (flow, 1, _ ("Verdicts, zone by zone"));
  rake_report_say (report, RAKE_TYPE_SOFT, _ ("As of %s, by the rules that the job records."),
                   time);
  rake_flow_grid (flow, grid, RAKE_TYPE_SMALL);
  rake_flow_end_section (flow);
}
