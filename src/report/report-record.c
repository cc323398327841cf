/* report-record.c - about the record itself: what was struck out, notes, what was not examined, the seal. */
#include "report-private.h"

#include <rakelight/record.h>

#include <math.h>

/* --- struck out ------------------------------------------------------------------------------ */

static const char *
describe_why (const RakeStrikeBody *strike)
{
  if (strike->reason != NULL)
    return strike->reason;
  return strike->why == RAKE_STRIKE_UNDO ? _ ("Taken back at the bench") : "–";
}

/* Notes are the shop's own, and so is a defect that is kept from the client's edition. */
static gboolean
is_for_reader (const RakeReport *report, const RakeEntry *entry)
{
  if (rake_report_is_for_shop (report))
    return TRUE;
  return entry->kind != RAKE_ENTRY_NOTE &&
         (entry->kind != RAKE_ENTRY_DEFECT || entry->defect.is_for_client != RAKE_ANSWER_NO);
}

static void
add_struck_row (RakeReport *report, RakeGrid *grid, const RakeEntry *entry)
{
  const RakeEntry *strike = rake_names_find_strike (report->names, entry);
  g_autofree char *what = rake_job_describe_entry (report->job, entry);
  gboolean is_void = rake_job_is_void (report->job, entry->id);

  rake_grid_add_row (grid);
  rake_grid_take (grid, rake_print_time (entry->written_ms, entry->utc_offset_minutes));
  rake_grid_add_with (grid, what, RAKE_CELL_STRUCK, RAKE_SIGN_NONE, 0);
  rake_grid_take (grid, strike != NULL
                            ? rake_print_time (strike->written_ms, strike->utc_offset_minutes)
                            : g_strdup ("–"));
  rake_grid_add (grid, is_void ? _ ("Void: what it speaks of was done away with at another bench")
                       : strike != NULL ? describe_why (&strike->strike)
                                        : "–");
  rake_grid_add (grid, strike != NULL ? strike->who : NULL);
}

void
rake_report_print_struck (RakeReport *report)
{
  g_autoptr (RakeGrid) grid = rake_grid_new ();

  rake_grid_add_column (grid, _ ("Written"), RAKE_ALIGN_LEFT, 0);
  rake_grid_add_column (grid, _ ("What"), RAKE_ALIGN_LEFT, 1);
  rake_grid_add_column (grid, _ ("Struck out"), RAKE_ALIGN_LEFT, 0);
  rake_grid_add_column (grid, _ ("Why"), RAKE_ALIGN_LEFT, 0.7);
  rake_grid_add_column (grid, _ ("Who"), RAKE_ALIGN_LEFT, 0);
  for (guint i = 0; i < rake_job_get_n_entries (report->job); i++)
    {
      const RakeEntry *entry = rake_job_get_entry (report->job, i);

      if (entry->kind != RAKE_ENTRY_STRIKE && rake_report_is_out (report, entry) &&
          is_for_reader (report, entry))
        add_struck_row (report, grid, entry);
    }
  rake_flow_heading (&report->flow, 1, _ ("Struck out"));
  if (rake_grid_get_n_rows (grid) == 0)
    rake_flow_paragraph (&report->flow, RAKE_TYPE_BODY,
                         _ ("Nothing was struck out of this logbook."));
  else
    rake_flow_paragraph (
        &report->flow, RAKE_TYPE_SOFT,
        _ ("Nothing is ever taken out of the logbook. What turned out wrong is struck "
           "out, stays to be read, and counts for nothing."));
  rake_flow_grid (&report->flow, grid, RAKE_TYPE_SMALL);
  rake_flow_end_section (&report->flow);
}

/* --- notes ----------------------------------------------------------------------------------- */

static char *
describe_about (const RakeReport *report, RakeId about)
{
  const char *name = rake_names_find (report->names, about);
  const RakeEntry *entry = rake_job_find_entry (report->job, about);

  if (name != NULL)
    return g_strdup (name);
  if (entry != NULL)
    return rake_job_describe_entry (report->job, entry);
  return g_strdup (_ ("The job"));
}

void
rake_report_print_notes (RakeReport *report)
{
  g_autoptr (RakeGrid) grid = rake_grid_new ();

  if (!rake_report_is_for_shop (report))
    return;
  rake_grid_add_column (grid, _ ("When"), RAKE_ALIGN_LEFT, 0);
  rake_grid_add_column (grid, _ ("About"), RAKE_ALIGN_LEFT, 0);
  rake_grid_add_column (grid, _ ("Note"), RAKE_ALIGN_LEFT, 1);
  rake_grid_add_column (grid, _ ("Who"), RAKE_ALIGN_LEFT, 0);
  for (guint i = 0; i < rake_job_get_n_entries (report->job); i++)
    {
      const RakeEntry *entry = rake_job_get_entry (report->job, i);

      if (entry->kind != RAKE_ENTRY_NOTE)
        continue;
      rake_report_add_row (report, grid, entry);
      rake_grid_take (grid, rake_print_time (entry->happened_ms, entry->utc_offset_minutes));
      rake_grid_take (grid, describe_about (report, entry->note.about));
      rake_grid_add (grid, entry->note.text);
      rake_grid_add (grid, entry->who);
    }
  if (rake_grid_get_n_rows (grid) == 0)
    return;
  rake_flow_heading (&report->flow, 1, _ ("Notes of the shop"));
  rake_flow_grid (&report->flow, grid, RAKE_TYPE_SMALL);
  rake_flow_end_section (&report->flow);
}

/* --- what was not examined ------------------------------------------------------------------- */

static gboolean
is_known_not (const RakeJudgement *judgement, RakeFact fact)
{
  return judgement->facts.knowledge[fact] == RAKE_UNKNOWN ||
         (judgement->facts.knowledge[fact] == RAKE_KNOWN && judgement->facts.value[fact] <= 0);
}

static gboolean
is_known_some (const RakeJudgement *judgement, RakeFact fact)
{
  return judgement->facts.knowledge[fact] == RAKE_KNOWN && judgement->facts.value[fact] > 0;
}

/* The zones of a face of which @is_one is true, NULL when there is none. */
static char *
list_zones (const RakeReport *report, guint face_index,
            gboolean (*is_one) (const RakeJudgement *judgement, RakeFact fact), RakeFact fact)
{
  const RakeFace *face = rake_job_get_face (report->job, face_index);
  RakeJudgement *const *judgements = rake_report_get_judgements (report, face_index);
  g_autoptr (GString) line = g_string_new (NULL);

  for (guint i = 0; i < face->zones->len; i++)
    if (is_one (judgements[i], fact))
      rake_print_add (line, ((const RakeZone *) face->zones->pdata[i])->name);
  return line->len > 0 ? g_string_free (g_steal_pointer (&line), FALSE) : NULL;
}

static void
say_of_faces (RakeReport *report, const char *format,
              gboolean (*is_one) (const RakeJudgement *judgement, RakeFact fact), RakeFact fact)
{
  for (guint i = 0; i < rake_job_get_n_faces (report->job); i++)
    {
      g_autofree char *zones = list_zones (report, i, is_one, fact), *text = NULL;
      g_auto (GStrv) parts = g_strsplit (format, "%s", 3);

      if (zones == NULL || g_strv_length (parts) != 3)
        continue;
      text = g_strconcat (parts[0], rake_job_get_face (report->job, i)->name, parts[1], zones,
                          parts[2], NULL);
      rake_flow_item (&report->flow, text);
    }
}

static gboolean
has_reading (const RakeReport *report, RakeQuantity quantity)
{
  for (guint i = 0; i < rake_job_get_n_entries (report->job); i++)
    {
      const RakeEntry *entry = rake_job_get_entry (report->job, i);

      if (entry->kind == RAKE_ENTRY_READING && entry->reading.quantity == quantity &&
          !rake_report_is_out (report, entry))
        return TRUE;
    }
  return FALSE;
}

static gboolean
has_light (const RakeReport *report, RakeLight light)
{
  for (guint i = 0; i < rake_job_get_n_entries (report->job); i++)
    {
      const RakeEntry *entry = rake_job_get_entry (report->job, i);

      if (entry->kind == RAKE_ENTRY_LOOK && entry->look.light == light &&
          !rake_report_is_out (report, entry))
        return TRUE;
    }
  return FALSE;
}

void
rake_report_print_unexamined (RakeReport *report)
{
  RakeFlow *flow = &report->flow;
  const RakeEntry *hand_over = rake_job_find_hand_over (report->job, NULL);

  rake_flow_heading (flow, 1, _ ("What was not examined"));
  rake_flow_begin_list (flow);
  if (hand_over != NULL && hand_over->hand_over.not_examined != NULL)
    rake_flow_item (flow, hand_over->hand_over.not_examined);
  rake_flow_item (flow,
                  _ ("Whatever has no face in this record: the inside, fittings, the wood under "
                     "the finish, glue joints, the sound of an instrument."));
  /* Translators: a face, then names of zones. */
  say_of_faces (report, _ ("%s, not looked at properly since the last pass: %s."), is_known_not,
                RAKE_FACT_LOOKED_SINCE_PASS);
  say_of_faces (report, _ ("%s, marks from before not looked at again: %s."), is_known_some,
                RAKE_FACT_MARKS_NOT_REVISITED);
  if (!has_reading (report, RAKE_QUANTITY_FILM_UM))
    rake_flow_item (flow, _ ("The film was not measured with a gauge."));
  if (!has_reading (report, RAKE_QUANTITY_GLOSS_GU))
    rake_flow_item (flow, _ ("The gloss was not measured."));
  if (!has_light (report, RAKE_LIGHT_DAYLIGHT))
    rake_flow_item (flow, _ ("No look by daylight is on record."));
  if (!has_light (report, RAKE_LIGHT_POINT))
    rake_flow_item (flow, _ ("No look under a point light, which shows swirl, is on record."));
  rake_flow_end_list (flow);
  rake_flow_end_section (flow);
}

/* --- the seal -------------------------------------------------------------------------------- */

void
rake_report_print_seal (RakeReport *report)
{
  RakeFlow *flow = &report->flow;
  const char *seal = report->options->seal;
  g_autofree char *grouped = NULL;
  guint n = rake_job_get_n_entries (report->job);

  if (seal == NULL)
    return;
  grouped = rake_print_seal (seal);
  rake_flow_keep (flow, 190);
  rake_flow_heading (flow, 1, _ ("The seal, and how to check it"));
  rake_flow_paragraph (flow, RAKE_TYPE_STRONG, grouped);
  rake_report_say (
      report, RAKE_TYPE_BODY,
      ngettext ("It is the fingerprint of the logbook of %u entry that this record was "
                "made from.",
                "It is the fingerprint of the logbook of %u entries that this record was "
                "made from.",
                n),
      n);
  rake_flow_paragraph (flow, RAKE_TYPE_BODY,
                       _ ("Whoever has the job file checks it with: rakelight-cli verify JOB "
                          "--seal SEAL. The answer "
                          "is that the logbook is whole and has this seal, or which entry is the "
                          "first that differs."));
  rake_flow_paragraph (
      flow, RAKE_TYPE_BODY,
      _ ("Without the program: every entry’s line, as exported without its hash, has the SHA-256 "
         "that "
         "the line gives, and names that of the same bench’s entry before. The seal is the SHA-256 "
         "of "
         "one line for each bench, “BENCH NUMBER HASH” of its last entry, sorted."));
  rake_flow_paragraph (flow, RAKE_TYPE_BODY,
                       _ ("It proves that the logbook is, to the letter, the one this paper was "
                          "printed from. It does "
                          "not prove that what was written is true, who wrote it, or that the "
                          "bench’s clock was right. "
                          "A paper kept by the client is what makes it worth something: the shop "
                          "cannot change that."));
  rake_flow_end_section (flow);
}
