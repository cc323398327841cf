/* report-claims.c - complaints after the hand-over: what was said, what the record said of the place
 * when the piece left, what was found, what was decided. */
#include "report-private.h"

#include <rakelight/film.h>
#include <rakelight/photo.h>
#include <rakelight/record.h>
#include <rakelight/statistics.h>

#include <math.h>

/* --- then and now ------------------------------------------------------------------------------ */

/* The zone at one time, with what it was judged by. */
typedef struct
{
  const RakeJob *job;
  const RakeZone *zone;
  RakeRules *rules;
  RakeJudgement *judgement;
  gint64 at_ms;
} Then;

static void
then_clear (Then *then)
{
  g_clear_pointer (&then->judgement, rake_judgement_free);
  g_clear_pointer (&then->rules, rake_rules_unref);
}

static gboolean
then_init (Then *then, const RakeReport *report, const RakeJob *job, RakeId zone, gint64 at_ms)
{
  *then = (Then){ .job = job, .at_ms = at_ms };
  then->zone = rake_job_find_zone (job, zone);
  if (then->zone == NULL)
    return FALSE;
  then->rules = rake_rules_for_job (job, (RakeRules *) report->options->rules);
  then->judgement = rake_rules_judge (then->rules, job, then->zone, at_ms);
  return TRUE;
}

static char *
describe_verdict (const Then *then)
{
  if (then->judgement->is_accepted && rake_judgement_is_settled (then->judgement))
    return g_strdup (_ ("Accepted"));
  return g_strdup (then->judgement->verdict != RAKE_VERDICT_NONE
                       ? _ (rake_verdict_get_label (then->judgement->verdict))
                       : "–");
}

static char *
describe_film (const Then *then)
{
  g_autoptr (RakeRates) rates = rake_rates_take (then->job);
  g_autoptr (RakeFilm) film =
      rake_film_take (then->job, then->zone, rates, rake_rules_get_limits (then->rules));

  return rake_print_normal (film->film, 1);
}

static char *
describe_gloss (const Then *then)
{
  g_autoptr (GArray) values = g_array_new (FALSE, FALSE, sizeof (double));
  RakeSample sample;

  for (guint i = 0; i < then->zone->history->len; i++)
    {
      const RakeEntry *entry = then->zone->history->pdata[i];

      if (entry->kind == RAKE_ENTRY_READING && entry->reading.quantity == RAKE_QUANTITY_GLOSS_GU)
        g_array_append_val (values, entry->reading.value);
    }
  sample = rake_sample_take ((const double *) (gpointer) values->data, values->len);
  return rake_print_quantity (RAKE_QUANTITY_GLOSS_GU, sample.mean, FALSE);
}

static char *
describe_marks (const Then *then)
{
  GString *line = g_string_new (NULL);
  guint n_open = 0, n_repaired = 0;

  for (guint i = 0; i < then->zone->marks->len; i++)
    {
      const RakeMark *mark = then->zone->marks->pdata[i];

      n_open += mark->closed_by == NULL ? 1 : 0;
      n_repaired += mark->was_repaired ? 1 : 0;
      if (mark->closed_by == NULL)
        rake_print_add (line, _ (rake_mark_kind_get_label (mark->kind)));
    }
  if (n_open == 0)
    g_string_append (line, _ ("none open"));
  if (n_repaired > 0)
    {
      g_autofree char *repaired =
          g_strdup_printf (ngettext ("%u repaired", "%u repaired", n_repaired), n_repaired);
      rake_print_add (line, repaired);
    }
  return g_string_free (line, FALSE);
}

static void
add_comparison (RakeGrid *grid, const char *name, char *(*describe) (const Then *then),
                const Then *then, const Then *now)
{
  rake_grid_add_row (grid);
  rake_grid_add_with (grid, name, RAKE_CELL_SOFT, RAKE_SIGN_NONE, 0);
  rake_grid_take (grid, describe (then));
  rake_grid_take (grid, describe (now));
}

static void
print_comparison (RakeReport *report, const RakeClaim *claim, const Then *then, const Then *now)
{
  g_autoptr (RakeGrid) grid = rake_grid_new ();
  g_autofree char *then_day = NULL, *now_day = NULL, *then_title = NULL, *now_title = NULL;

  then_day = rake_print_day (claim->hand_over->happened_ms, claim->hand_over->utc_offset_minutes);
  now_day = rake_print_day (report->options->now_ms, report->options->utc_offset_minutes);
  /* Translators: a day. */
  then_title = g_strdup_printf (_ ("Then, %s"), then_day);
  now_title = g_strdup_printf (_ ("Now, %s"), now_day);
  rake_grid_add_column (grid, claim->zone->name, RAKE_ALIGN_LEFT, 0);
  rake_grid_add_column (grid, then_title, RAKE_ALIGN_LEFT, 1);
  rake_grid_add_column (grid, now_title, RAKE_ALIGN_LEFT, 1);
  add_comparison (grid, _ ("Verdict"), describe_verdict, then, now);
  add_comparison (grid, _ ("Film"), describe_film, then, now);
  add_comparison (grid, _ ("Gloss, mean"), describe_gloss, then, now);
  add_comparison (grid, _ ("Marks"), describe_marks, then, now);
  rake_flow_grid (&report->flow, grid, RAKE_TYPE_SMALL);
}

static void
print_then_and_now (RakeReport *report, const RakeClaim *claim)
{
  g_autoptr (RakeJob) job = NULL;
  Then then, now;

  if (claim->zone == NULL || claim->hand_over == NULL)
    return;
  job = rake_job_new_until (report->job, claim->n_entries_then);
  if (then_init (&then, report, job, claim->zone->id, claim->hand_over->happened_ms) &
      then_init (&now, report, report->job, claim->zone->id, report->options->now_ms))
    print_comparison (report, claim, &then, &now);
  then_clear (&then);
  then_clear (&now);
}

static void
print_maps (RakeReport *report, const RakeClaim *claim)
{
  RakeReportMoment moments[2] = { { .is_hand_over = TRUE }, { .is_now = TRUE } };

  if (claim->face == NULL || claim->hand_over == NULL)
    return;
  moments[0].face = moments[1].face = claim->face->id;
  moments[0].n_entries = claim->n_entries_then;
  moments[1].n_entries = rake_job_get_n_entries (report->job);
  rake_report_print_moments (report, moments, G_N_ELEMENTS (moments));
}

/* --- photographs ------------------------------------------------------------------------------- */

static gboolean
is_of_claim (const RakeClaim *claim, const RakePhoto *photo)
{
  return claim->face == NULL || photo->face == claim->face;
}

/* The last of the same view that was taken before it. */
static const RakePhoto *
find_before (const RakeJob *job, const RakePhoto *now, gint64 before_ms)
{
  const char *view = now->placed->photo.view;
  g_autoptr (GPtrArray) photos =
      view != NULL && now->face != NULL ? rake_job_list_view (job, now->face->id, view) : NULL;

  for (guint i = 0; photos != NULL && i < photos->len; i++)
    {
      const RakePhoto *photo = photos->pdata[i];

      if (photo->entry->happened_ms < before_ms)
        return photo;
    }
  return NULL;
}

static void
add_photo (const RakeReport *report, GArray *indexes, const RakePhoto *photo)
{
  guint index = photo != NULL ? rake_report_find_photo (report, photo->id) : G_MAXUINT;

  if (index != G_MAXUINT)
    g_array_append_val (indexes, index);
}

/* Each that was taken since the complaint, beside the last of the same view from before. */
static void
print_photos (RakeReport *report, const RakeClaim *claim)
{
  gint64 since_ms = claim->entry->happened_ms;

  for (guint i = 0; i < rake_job_get_n_photos (report->job); i++)
    {
      const RakePhoto *photo = rake_job_get_photo (report->job, i);
      g_autoptr (GArray) indexes = g_array_new (FALSE, FALSE, sizeof (guint));

      if (photo->entry->happened_ms < since_ms || !is_of_claim (claim, photo))
        continue;
      add_photo (report, indexes, find_before (report->job, photo, since_ms));
      add_photo (report, indexes, photo);
      rake_report_print_some_photos (report, indexes);
    }
}

/* --- the claim --------------------------------------------------------------------------------- */

static char *
describe_about (const RakeReport *report, const RakeClaim *claim)
{
  g_autoptr (GString) line = g_string_new (NULL);
  g_autoptr (RakeDefect) defect = rake_job_find_defect (report->job, claim->defect);

  if (defect != NULL)
    rake_print_add (line, defect->what);
  if (claim->mark != NULL && defect == NULL)
    rake_print_add (line, _ (rake_mark_kind_get_label (claim->mark->kind)));
  if (claim->zone != NULL)
    rake_print_add (line, claim->zone->name);
  if (claim->face != NULL)
    rake_print_add (line, claim->face->name);
  if (line->len == 0)
    g_string_append (line, _ ("the piece"));
  return g_string_free (g_steal_pointer (&line), FALSE);
}

static void
print_facts (RakeReport *report, const RakeClaim *claim)
{
  const RakeClaimBody *told = &claim->told->claim;
  g_autoptr (RakeGrid) grid = rake_report_new_facts ();

  rake_report_add_fact (
      grid, _ ("Made"),
      rake_print_time (claim->entry->happened_ms, claim->entry->utc_offset_minutes));
  rake_report_add_fact (grid, _ ("About"), describe_about (report, claim));
  rake_report_add_fact (grid, _ ("Complaint"), g_strdup (told->complaint));
  rake_report_add_fact (grid, _ ("Found"), g_strdup (told->finding));
  rake_report_add_fact (grid, _ ("Decided"),
                        g_strdup (_ (rake_decision_get_label (told->decision))));
  if (!claim->is_open)
    rake_report_add_fact (
        grid, _ ("On"),
        rake_print_time (claim->told->happened_ms, claim->told->utc_offset_minutes));
  rake_report_add_fact (grid, _ ("What was done"), g_strdup (told->action));
  if (rake_report_is_for_shop (report))
    rake_report_add_fact (grid, _ ("Cost"), rake_print_cost (told->cost, told->currency));
  rake_flow_grid (&report->flow, grid, RAKE_TYPE_SMALL);
}

static gboolean
is_told_of (const RakeClaim *claim, const RakeEntry *entry)
{
  return entry->kind == RAKE_ENTRY_CLAIM &&
         (rake_id_equal (entry->id, claim->id) || rake_id_equal (entry->claim.claim, claim->id));
}

static void
print_story (RakeReport *report, const RakeClaim *claim)
{
  g_autoptr (RakeGrid) grid = rake_grid_new ();

  rake_grid_add_column (grid, _ ("Told"), RAKE_ALIGN_LEFT, 0);
  rake_grid_add_column (grid, _ ("Decided"), RAKE_ALIGN_LEFT, 0);
  rake_grid_add_column (grid, _ ("Complaint"), RAKE_ALIGN_LEFT, 1);
  rake_grid_add_column (grid, _ ("Found"), RAKE_ALIGN_LEFT, 1);
  rake_grid_add_column (grid, _ ("Who"), RAKE_ALIGN_LEFT, 0);
  for (guint i = 0; i < rake_job_get_n_entries (report->job); i++)
    {
      const RakeEntry *entry = rake_job_get_entry (report->job, i);

      if (!is_told_of (claim, entry))
        continue;
      rake_report_add_row (report, grid, entry);
      rake_grid_take (grid, rake_print_time (entry->happened_ms, entry->utc_offset_minutes));
      rake_grid_add (grid, _ (rake_decision_get_label (entry->claim.decision)));
      rake_grid_add (grid, entry->claim.complaint);
      rake_grid_add (grid, entry->claim.finding);
      rake_grid_add (grid, entry->who);
    }
  if (rake_grid_get_n_rows (grid) > 1)
    rake_flow_grid (&report->flow, grid, RAKE_TYPE_SMALL);
}

void
rake_report_print_claims (RakeReport *report)
{
  RakeFlow *flow = &report->flow;
  g_autoptr (GPtrArray) claims = rake_job_list_claims (report->job);

  if (claims->len == 0)
    return;
  rake_flow_keep (flow, 200);
  rake_flow_heading (flow, 1, _ ("Claims"));
  rake_flow_paragraph (flow, RAKE_TYPE_SOFT,
                       _ ("What was complained of after the hand-over, held against what this "
                          "record said of the place when the piece left."));
  for (guint i = 0; i < claims->len && !flow->is_stopped; i++)
    {
      const RakeClaim *claim = claims->pdata[i];
      g_autofree char *about = describe_about (report, claim);
      /* Translators: a number, and what a claim is about. */
      g_autofree char *title = g_strdup_printf (C_ ("claim", "%u. %s"), i + 1, about);

      rake_flow_keep (flow, 130);
      rake_flow_heading (flow, 2, title);
      print_facts (report, claim);
      print_then_and_now (report, claim);
      print_maps (report, claim);
      print_photos (report, claim);
      print_story (report, claim);
    }
  rake_flow_end_section (flow);
}
