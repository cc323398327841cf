/* report-plan.c - how the piece stands, what was agreed, the schedule, the coats. */
#include "report-private.h"

#include <math.h>

/* --- at a glance ----------------------------------------------------------------------------- */

static void
add_face_row (RakeReport *report, RakeGrid *grid, guint index)
{
  const RakeFace *face = rake_job_get_face (report->job, index);
  g_autoptr (RakeGate) gate = rake_rules_gate (report->rules, report->job, face,
                                               rake_report_get_judgements (report, index));

  rake_grid_add_row (grid);
  rake_grid_add_with (grid, face->name, RAKE_CELL_STRONG, RAKE_SIGN_NONE, 0);
  rake_grid_take (grid, rake_print_area (rake_shape_get_area_mm2 (face->outline)));
  if (face->stage == NULL)
    {
      rake_grid_add (grid, "–");
      rake_grid_add (grid, "–");
      rake_grid_add (grid, _ ("No schedule yet"));
      return;
    }
  rake_grid_take (grid, rake_print_stage (face->stage));
  /* Translators: so many zones of how many, and their share of the area in percent. */
  rake_grid_take (grid, g_strdup_printf (_ ("%u of %u, %.0f %%"), gate->n_settled, gate->n_zones,
                                         floor (gate->ready_fraction * 100)));
  rake_grid_add (grid, gate->sentence);
}

void
rake_report_print_summary (RakeReport *report)
{
  g_autoptr (RakeGrid) grid = rake_grid_new ();

  rake_flow_heading (&report->flow, 1, _ ("How it stands"));
  if (rake_job_get_n_faces (report->job) == 0)
    rake_flow_paragraph (&report->flow, RAKE_TYPE_BODY, _ ("The job has no face yet."));
  rake_grid_add_column (grid, _ ("Face"), RAKE_ALIGN_LEFT, 0);
  rake_grid_add_column (grid, _ ("Area"), RAKE_ALIGN_RIGHT, 0);
  rake_grid_add_column (grid, _ ("Stage"), RAKE_ALIGN_LEFT, 0);
  rake_grid_add_column (grid, _ ("Zones ready"), RAKE_ALIGN_LEFT, 0);
  rake_grid_add_column (grid, _ ("What comes next"), RAKE_ALIGN_LEFT, 1);
  for (guint i = 0; i < rake_job_get_n_faces (report->job); i++)
    add_face_row (report, grid, i);
  rake_flow_grid (&report->flow, grid, RAKE_TYPE_BODY);
  rake_flow_end_section (&report->flow);
}

/* --- what was agreed ------------------------------------------------------------------------- */

static char *
describe_days (double days)
{
  return isfinite (days) ? g_strdup_printf (ngettext ("%.0f day", "%.0f days", (gulong) days), days)
                         : NULL;
}

static char *
describe_limit (double fraction, double island_mm)
{
  g_autofree char *share = NULL, *island = NULL;

  if (!isfinite (fraction))
    return NULL;
  share = rake_print_share (fraction);
  if (!isfinite (island_mm))
    return g_strdup_printf (_ ("low spots up to %s of a zone"), share);
  island = rake_print_length (island_mm, 0);
  return g_strdup_printf (_ ("low spots up to %s of a zone, none over %s"), share, island);
}

static char *
describe_gloss (const RakeJobFacts *facts)
{
  g_autofree char *target = NULL, *tolerance = NULL;

  if (!isfinite (facts->gloss_target_gu))
    return NULL;
  target = rake_print_measure (facts->gloss_target_gu, 0, "GU");
  if (!isfinite (facts->gloss_tolerance_gu))
    return g_steal_pointer (&target);
  tolerance = rake_print_number (facts->gloss_tolerance_gu, 0);
  return g_strdup_printf ("%s ± %s", target, tolerance);
}

static void
add_terms (RakeReport *report, RakeGrid *grid, const RakeJobFacts *facts)
{
  const RakeLimits *limits = rake_rules_get_limits (report->rules);
  const RakeRulesBody *rules = rake_job_find_rules (report->job);
  RakeAnswer fuse = rake_job_get_coats_fuse (report->job);

  if (facts->finish != RAKE_FINISH_UNSAID)
    rake_report_add_fact (grid, _ ("Finish"), g_strdup (_ (rake_finish_get_label (facts->finish))));
  rake_report_add_fact (grid, _ ("Sheen"), g_strdup (rake_print_sheen (facts->sheen)));
  if (fuse != RAKE_ANSWER_UNSAID)
    rake_report_add_fact (grid, _ ("Coats"),
                          g_strdup (fuse == RAKE_ANSWER_YES
                                        ? _ ("fuse into one film")
                                        : _ ("lie on each other: cutting through one leaves a "
                                             "witness line")));
  rake_report_add_fact (grid, _ ("Cure before sanding"),
                        describe_days (rake_job_get_cure_days (report->job)));
  rake_report_add_fact (grid, _ ("Rest before hand-over"),
                        describe_days (rake_job_get_rest_days (report->job)));
  rake_report_add_fact (
      grid, _ ("Level enough"),
      describe_limit (isfinite (facts->level_low_spot_fraction) ? facts->level_low_spot_fraction
                                                                : limits->level_low_spot_fraction,
                      isfinite (facts->level_island_mm) ? facts->level_island_mm
                                                        : limits->level_island_mm));
  rake_report_add_fact (grid, _ ("Level enough at edges"),
                        describe_limit (isfinite (facts->edge_low_spot_fraction)
                                            ? facts->edge_low_spot_fraction
                                            : limits->edge_low_spot_fraction,
                                        NAN));
  rake_report_add_fact (grid, _ ("Risk of cutting through"),
                        rake_print_share (isfinite (facts->risk_limit_fraction)
                                              ? facts->risk_limit_fraction
                                              : limits->risk_limit_fraction));
  rake_report_add_fact (grid, _ ("Gloss"), describe_gloss (facts));
  if (isfinite (facts->nominal_film_um))
    rake_report_add_fact (grid, _ ("Nominal film"), rake_print_film (facts->nominal_film_um, 0));
  if (rules != NULL)
    rake_report_add_fact (grid, _ ("Judged by the rules"), g_strdup (rules->name));
}

void
rake_report_print_agreed (RakeReport *report)
{
  const RakeJobFacts *facts = rake_job_find_facts (report->job);
  g_autoptr (RakeGrid) grid = rake_report_new_facts ();

  if (facts == NULL)
    return;
  rake_flow_heading (&report->flow, 1, _ ("What it is held to"));
  add_terms (report, grid, facts);
  rake_flow_grid (&report->flow, grid, RAKE_TYPE_BODY);
  rake_flow_end_section (&report->flow);
}

/* --- schedule -------------------------------------------------------------------------------- */

static gboolean
stands (const RakeReport *report, const RakeEntry *entry, RakeEntryKind kind)
{
  return entry->kind == kind && !rake_report_is_out (report, entry);
}

/* When a stage was first worked at or begun, and how many passes it had; FALSE when never. */
static gboolean
find_begin (const RakeReport *report, RakeId stage, const RakeEntry **first, guint *n_passes)
{
  *first = NULL;
  *n_passes = 0;
  for (guint i = 0; i < rake_job_get_n_entries (report->job); i++)
    {
      const RakeEntry *entry = rake_job_get_entry (report->job, i);
      gboolean is_pass =
          stands (report, entry, RAKE_ENTRY_PASS) && rake_id_equal (entry->pass.stage, stage);
      gboolean is_begin = stands (report, entry, RAKE_ENTRY_BEGIN_STAGE) &&
                          rake_id_equal (entry->begin_stage.stage, stage);

      if (*first == NULL && (is_pass || is_begin))
        *first = entry;
      *n_passes += is_pass ? 1 : 0;
    }
  return *first != NULL;
}

static void
add_stage_row (RakeReport *report, RakeGrid *grid, const RakeFace *face, const RakeStage *stage)
{
  const RakeEntry *first;
  guint n_passes;
  gboolean is_begun = find_begin (report, stage->id, &first, &n_passes);
  gboolean is_now = face->stage == stage;

  rake_grid_add_row (grid);
  rake_grid_take (grid, g_strdup_printf ("%u", stage->position + 1));
  rake_grid_add_with (grid, _ (rake_action_get_label (stage->action)),
                      is_now ? RAKE_CELL_STRONG : RAKE_CELL_PLAIN, RAKE_SIGN_NONE, 0);
  rake_grid_add_with (grid, stage->grade, is_now ? RAKE_CELL_STRONG : RAKE_CELL_PLAIN,
                      RAKE_SIGN_NONE, 0);
  rake_grid_take (grid, isfinite (stage->d50_um) && stage->d50_um > 0
                            ? rake_print_film (stage->d50_um, 1)
                            : g_strdup (""));
  rake_grid_take (grid, is_begun ? rake_print_day (first->happened_ms, first->utc_offset_minutes)
                                 : g_strdup ("–"));
  rake_grid_take (grid, n_passes > 0 ? g_strdup_printf ("%u", n_passes) : g_strdup ("–"));
  rake_grid_add (grid, is_now ? _ ("The face is here") : "");
}

void
rake_report_print_schedule (RakeReport *report)
{
  g_autoptr (RakeGrid) grid = rake_grid_new ();

  rake_grid_add_column (grid, NULL, RAKE_ALIGN_RIGHT, 0);
  rake_grid_add_column (grid, _ ("Step"), RAKE_ALIGN_LEFT, 0);
  rake_grid_add_column (grid, _ ("With"), RAKE_ALIGN_LEFT, 1);
  rake_grid_add_column (grid, _ ("Grain"), RAKE_ALIGN_RIGHT, 0);
  rake_grid_add_column (grid, _ ("Begun"), RAKE_ALIGN_LEFT, 0);
  rake_grid_add_column (grid, _ ("Passes"), RAKE_ALIGN_RIGHT, 0);
  rake_grid_add_column (grid, "", RAKE_ALIGN_LEFT, 1);
  for (guint i = 0; i < rake_job_get_n_faces (report->job); i++)
    {
      const RakeFace *face = rake_job_get_face (report->job, i);

      if (face->stages->len > 0)
        rake_grid_add_group (grid, face->name);
      for (guint j = 0; j < face->stages->len; j++)
        add_stage_row (report, grid, face, face->stages->pdata[j]);
    }
  if (rake_grid_get_n_rows (grid) == 0)
    return;
  rake_flow_heading (&report->flow, 1, _ ("Schedule"));
  rake_flow_grid (&report->flow, grid, RAKE_TYPE_SMALL);
  rake_flow_end_section (&report->flow);
}

/* --- coats ----------------------------------------------------------------------------------- */

static void
add_coat_row (RakeReport *report, RakeGrid *grid, const RakeEntry *entry, guint number)
{
  const RakeCoatBody *coat = &entry->coat;

  rake_report_add_row (report, grid, entry);
  rake_grid_take (grid, number > 0 ? g_strdup_printf ("%u", number) : NULL);
  rake_grid_take (grid, rake_print_time (entry->happened_ms, entry->utc_offset_minutes));
  rake_grid_add (grid, coat->product != NULL ? coat->product : "–");
  rake_grid_take (grid, rake_print_film (coat->wet_um, 0));
  rake_grid_take (grid, rake_print_normal ((RakeNormal){ coat->dry_um, coat->dry_sd_um }, 0));
  rake_grid_take (grid, rake_print_share (coat->volume_solids_fraction));
  rake_grid_take (grid, rake_print_film (coat->scuff_um, 0));
}

/* Those that were struck out have no number. */
static void
add_coats_of_face (RakeReport *report, RakeGrid *grid, const RakeFace *face)
{
  guint number = 0;
  gboolean has_group = FALSE;

  for (guint i = 0; i < rake_job_get_n_entries (report->job); i++)
    {
      const RakeEntry *entry = rake_job_get_entry (report->job, i);

      if (entry->kind != RAKE_ENTRY_COAT || !rake_id_equal (entry->coat.face, face->id))
        continue;
      if (!has_group)
        rake_grid_add_group (grid, face->name);
      has_group = TRUE;
      add_coat_row (report, grid, entry, rake_report_is_out (report, entry) ? 0 : ++number);
    }
}

void
rake_report_print_coats (RakeReport *report)
{
  g_autoptr (RakeGrid) grid = rake_grid_new ();

  rake_grid_add_column (grid, NULL, RAKE_ALIGN_RIGHT, 0);
  rake_grid_add_column (grid, _ ("Sprayed"), RAKE_ALIGN_LEFT, 0);
  rake_grid_add_column (grid, _ ("What"), RAKE_ALIGN_LEFT, 1);
  rake_grid_add_column (grid, _ ("Wet"), RAKE_ALIGN_RIGHT, 0);
  rake_grid_add_column (grid, _ ("Dry"), RAKE_ALIGN_RIGHT, 0);
  rake_grid_add_column (grid, _ ("Solids"), RAKE_ALIGN_RIGHT, 0);
  rake_grid_add_column (grid, _ ("Scuffed before"), RAKE_ALIGN_RIGHT, 0);
  for (guint i = 0; i < rake_job_get_n_faces (report->job); i++)
    {
      const RakeFace *face = rake_job_get_face (report->job, i);

      add_coats_of_face (report, grid, face);
    }
  if (rake_grid_get_n_rows (grid) == 0)
    return;
  rake_flow_heading (&report->flow, 1, _ ("Coats"));
  rake_flow_grid (&report->flow, grid, RAKE_TYPE_SMALL);
  rake_flow_end_section (&report->flow);
}
