/* report-work.c - the work in order: a face at a time, a day at a time, what was struck out struck
 * through with its reason. */
#include "report-private.h"

#include <math.h>
#include <string.h>

#define NOTABLE_DELAY_MS 300000 /* written so long after it happened: both times are told */

typedef struct
{
  RakeReport *report;
  RakeGrid *grid;
  GHashTable *findings; /* GString by the id of the look: what was seen in it */
  char *day;
  gboolean has_who;
} Work;

/* --- what a look saw ------------------------------------------------------------------------- */

static void
add_length (GString *line, const char *format, double length_mm)
{
  g_autofree char *length = NULL;
  g_auto (GStrv) parts = g_strsplit (format, "%s", 2);

  if (!isfinite (length_mm) || g_strv_length (parts) != 2)
    return;
  length = rake_print_length (length_mm, 0);
  rake_print_add (line, parts[0]);
  g_string_append_printf (line, "%s%s", length, parts[1]);
}

static char *
describe_state (const RakeStateBody *state)
{
  GString *line = g_string_new (_ (rake_state_get_label (state->state)));

  if (state->state == RAKE_STATE_LOW_SPOT && isfinite (state->low_spot_fraction))
    {
      g_autofree char *share = rake_print_share (state->low_spot_fraction);
      g_string_append_printf (line, " %s", share);
    }
  /* Translators: low spots; a length. */
  add_length (line, _ ("the largest %s"), state->largest_island_mm);
  /* Translators: scratches; a length. */
  add_length (line, _ ("the longest %s"), state->scratch_mm);
  return g_string_free (line, FALSE);
}

static char *
describe_mark (const RakeMarkBody *mark)
{
  GString *line = g_string_new (_ (rake_mark_kind_get_label (mark->mark)));
  g_autofree char *size = rake_print_size (mark->shape);

  if (size != NULL)
    g_string_append_printf (line, " %s", size);
  return g_string_free (line, FALSE);
}

static char *
describe_revisit (const RakeReport *report, const RakeRevisitBody *revisit)
{
  const RakeEntry *mark = rake_job_find_entry (report->job, revisit->mark);
  g_autofree char *what =
      mark != NULL && mark->kind == RAKE_ENTRY_MARK ? describe_mark (&mark->mark) : g_strdup ("–");

  /* Translators: a mark and its size: "Scratch 49 mm long: gone". */
  return g_strdup_printf (
      revisit->outcome == RAKE_OUTCOME_GONE ? _ ("%s: gone") : _ ("%s: still there"), what);
}

static void
find_what_was_seen (const RakeReport *report, const RakeEntry *entry, RakeId *look, char **what)
{
  *what = NULL;
  if (entry->kind == RAKE_ENTRY_STATE)
    {
      *look = entry->state.look;
      *what = describe_state (&entry->state);
    }
  else if (entry->kind == RAKE_ENTRY_MARK)
    {
      *look = entry->mark.look;
      *what = describe_mark (&entry->mark);
    }
  else if (entry->kind == RAKE_ENTRY_REVISIT)
    {
      *look = entry->revisit.look;
      *what = describe_revisit (report, &entry->revisit);
    }
}

static void
free_string (gpointer string)
{
  g_string_free (string, TRUE);
}

static GHashTable *
gather_findings (const RakeReport *report)
{
  GHashTable *findings =
      g_hash_table_new_full (rake_id_hash_key, rake_id_equal_key, g_free, free_string);

  for (guint i = 0; i < rake_job_get_n_entries (report->job); i++)
    {
      const RakeEntry *entry = rake_job_get_entry (report->job, i);
      g_autofree char *what = NULL;
      GString *line;
      RakeId look;

      find_what_was_seen (report, entry, &look, &what);
      if (what == NULL || rake_report_is_out (report, entry))
        continue;
      line = g_hash_table_lookup (findings, &look);
      if (line == NULL)
        {
          line = g_string_new (NULL);
          g_hash_table_insert (findings, g_memdup2 (&look, sizeof look), line);
        }
      g_string_append_printf (line, "%s%s", line->len > 0 ? "; " : "", what);
    }
  return findings;
}

/* --- one entry ------------------------------------------------------------------------------- */

static char *
describe_pass (const RakeReport *report, const RakePassBody *pass)
{
  GString *line = g_string_new (NULL);
  g_autofree char *stage = rake_report_name_stage (report, pass->stage);
  g_autofree char *stroke = NULL, *strokes = NULL, *wipe = NULL, *paper = NULL, *wheel = NULL;

  /* Translators: a stage of the schedule: "Pass: Level P800". */
  g_string_append_printf (line, _ ("Pass: %s"), stage);
  if (isfinite (pass->stroke_deg))
    {
      g_autofree char *deg = rake_print_direction (pass->stroke_deg);
      stroke = g_strdup_printf (_ ("strokes at %s"), deg);
    }
  if (isfinite (pass->n_strokes))
    strokes = g_strdup_printf (ngettext ("%.0f stroke", "%.0f strokes", (gulong) pass->n_strokes),
                               pass->n_strokes);
  if (rake_print_paper (pass->paper) != NULL)
    paper = g_strdup_printf (_ ("paper %s"), rake_print_paper (pass->paper));
  wipe = rake_print_wiped (pass->wiped_with);
  if (!rake_id_is_nil (pass->wheel))
    wheel = g_strdup_printf (_ ("wheel %s"), rake_report_name (report, pass->wheel));
  rake_print_add (line, stroke);
  rake_print_add (line, strokes);
  rake_print_add (line, paper);
  rake_print_add (line, wheel);
  rake_print_add (line, wipe);
  return g_string_free (line, FALSE);
}

static char *
describe_light (const RakeLookBody *look)
{
  const char *light = rake_print_light (look->light);
  g_autofree char *deg = NULL;

  if (!isfinite (look->lamp_deg) || light == NULL)
    return g_strdup (light);
  deg = rake_print_direction (look->lamp_deg);
  /* Translators: a kind of light and where it stands: "low lamp at 270°". */
  return g_strdup_printf (C_ ("light", "%s at %s"), light, deg);
}

static char *
describe_look (const Work *work, const RakeEntry *entry)
{
  const RakeLookBody *look = &entry->look;
  const GString *seen = g_hash_table_lookup (work->findings, &entry->id);
  g_autoptr (GString) how = g_string_new (NULL);
  g_autofree char *wipe = NULL, *light = NULL;

  wipe = rake_print_wiped (look->wiped_with);
  rake_print_add (how, rake_print_surface (look->surface));
  rake_print_add (how, wipe);
  light = describe_light (look);
  rake_print_add (how, light);
  /* Translators: how was looked, then what was seen: "Look: dry, low lamp at 270°. Uniform". */
  if (seen != NULL)
    return g_strdup_printf (_ ("Look: %s. %s"), how->str, seen->str);
  return g_strdup_printf (_ ("Look: %s. Nothing was said of what it showed"), how->str);
}

static char *
describe_begin (const RakeReport *report, const RakeBeginStageBody *begin)
{
  g_autofree char *stage = rake_report_name_stage (report, begin->stage);
  g_autoptr (GString) prepared = g_string_new (NULL);

  for (guint i = 0; i < begin->prepared->len; i++)
    rake_print_add (prepared, begin->prepared->pdata[i]);
  if (prepared->len == 0)
    return g_strdup_printf (_ ("The face goes to %s"), stage);
  /* Translators: a stage, then the ticked lines of the preparation list. */
  return g_strdup_printf (_ ("The face goes to %s; prepared: %s"), stage, prepared->str);
}

static char *
describe_acceptance (const RakeAcceptanceBody *acceptance)
{
  return g_strdup_printf (_ ("Accepted against “%s”: %s"),
                          _ (rake_verdict_get_label (acceptance->verdict)), acceptance->reason);
}

static char *
describe_entry (const Work *work, const RakeEntry *entry)
{
  switch (entry->kind)
    {
    case RAKE_ENTRY_PASS:
      return describe_pass (work->report, &entry->pass);
    case RAKE_ENTRY_LOOK:
      return describe_look (work, entry);
    case RAKE_ENTRY_BEGIN_STAGE:
      return describe_begin (work->report, &entry->begin_stage);
    case RAKE_ENTRY_ACCEPTANCE:
      return describe_acceptance (&entry->acceptance);
    default:
      return rake_job_describe_entry (work->report->job, entry);
    }
}

static gboolean
is_told (const RakeEntry *entry)
{
  switch (entry->kind)
    {
    case RAKE_ENTRY_BEGIN_STAGE:
    case RAKE_ENTRY_PASS:
    case RAKE_ENTRY_LOOK:
    case RAKE_ENTRY_ACCEPTANCE:
    case RAKE_ENTRY_READING:
    case RAKE_ENTRY_REPAIR:
      return TRUE;
    default:
      return FALSE;
    }
}

static void
begin_day (Work *work, const RakeEntry *entry)
{
  g_autofree char *day = rake_print_day (entry->happened_ms, entry->utc_offset_minutes);

  if (work->day != NULL && g_str_equal (day, work->day))
    return;
  rake_grid_add_group (work->grid, day);
  g_free (work->day);
  work->day = g_steal_pointer (&day);
}

static char *
describe_delay (const RakeEntry *entry)
{
  g_autofree char *written = NULL;

  if (entry->written_ms - entry->happened_ms < NOTABLE_DELAY_MS)
    return NULL;
  written = rake_print_time (entry->written_ms, entry->utc_offset_minutes);
  return g_strdup_printf (_ ("written down %s"), written);
}

static char *
describe_strike (const RakeReport *report, const RakeEntry *entry)
{
  const RakeEntry *strike = rake_names_find_strike (report->names, entry);
  g_autofree char *time = NULL;

  if (rake_job_is_void (report->job, entry->id))
    return g_strdup (_ ("Void: what it speaks of was done away with at another bench"));
  if (strike == NULL)
    return g_strdup (_ ("Struck out"));
  time = rake_print_time (strike->written_ms, strike->utc_offset_minutes);
  if (strike->strike.reason == NULL)
    return g_strdup_printf (_ ("Struck out %s: taken back"), time);
  return g_strdup_printf (_ ("Struck out %s: %s"), time, strike->strike.reason);
}

static void
add_entry (Work *work, const RakeEntry *entry)
{
  const RakeReport *report = work->report;
  gboolean is_out = rake_report_is_out (report, entry);
  RakeCellFlags flags = is_out ? RAKE_CELL_STRUCK : RAKE_CELL_PLAIN;
  g_autofree char *time = rake_print_time (entry->happened_ms, entry->utc_offset_minutes);
  g_autofree char *what = describe_entry (work, entry), *delay = describe_delay (entry);
  g_autofree char *zones = NULL, *why = NULL;

  zones = entry->kind == RAKE_ENTRY_PASS
              ? rake_report_name_zones (report, entry->pass.zones)
              : g_strdup (rake_names_find (report->names,
                                           rake_names_find_zone_of (report->names, entry)));
  begin_day (work, entry);
  rake_grid_add_row (work->grid);
  rake_grid_add_with (work->grid, g_utf8_offset_to_pointer (time, (glong) strlen ("2026-03-17 ")),
                      flags, RAKE_SIGN_NONE, 0);
  rake_grid_add_with (work->grid, zones, flags, RAKE_SIGN_NONE, 0);
  if (delay != NULL)
    {
      g_autofree char *both = g_strdup_printf ("%s (%s)", what, delay);
      rake_grid_add_with (work->grid, both, flags, RAKE_SIGN_NONE, 0);
    }
  else
    rake_grid_add_with (work->grid, what, flags, RAKE_SIGN_NONE, 0);
  if (work->has_who)
    rake_grid_add_with (work->grid, entry->who, flags | RAKE_CELL_SOFT, RAKE_SIGN_NONE, 0);
  if (!is_out)
    return;
  why = describe_strike (report, entry);
  rake_grid_add_row (work->grid);
  rake_grid_add (work->grid, NULL);
  rake_grid_add (work->grid, NULL);
  rake_grid_add (work->grid, why);
}

/* --- all of them ----------------------------------------------------------------------------- */

/* Who did it is told in a column when it was not always the same. */
static gboolean
has_several_people (const RakeJob *job)
{
  const char *first = NULL;

  for (guint i = 0; i < rake_job_get_n_entries (job); i++)
    {
      const char *who = rake_job_get_entry (job, i)->who;

      if (who == NULL)
        continue;
      if (first != NULL && !g_str_equal (first, who))
        return TRUE;
      first = who;
    }
  return FALSE;
}

static void
print_face (Work *work, const RakeFace *face)
{
  RakeReport *report = work->report;
  g_autoptr (RakeGrid) grid = rake_grid_new ();

  work->grid = grid;
  g_clear_pointer (&work->day, g_free);
  rake_grid_add_column (grid, _ ("Time"), RAKE_ALIGN_LEFT, 0);
  rake_grid_add_column (grid, _ ("Zone"), RAKE_ALIGN_LEFT, 0.4);
  rake_grid_add_column (grid, _ ("What was done, and what was seen"), RAKE_ALIGN_LEFT, 1);
  if (work->has_who)
    rake_grid_add_column (grid, _ ("Who"), RAKE_ALIGN_LEFT, 0);
  for (guint i = 0; i < rake_job_get_n_entries (report->job); i++)
    {
      const RakeEntry *entry = rake_job_get_entry (report->job, i);

      if (is_told (entry) &&
          rake_id_equal (rake_names_find_face_of (report->names, entry), face->id))
        add_entry (work, entry);
    }
  if (rake_grid_get_n_rows (grid) == 0)
    return;
  rake_flow_heading (&report->flow, 2, face->name);
  rake_flow_grid (&report->flow, grid, RAKE_TYPE_SMALL);
}

void
rake_report_print_work (RakeReport *report)
{
  g_autoptr (GHashTable) findings = gather_findings (report);
  Work work = { report, NULL, findings, NULL, has_several_people (report->job) };

  if (rake_job_get_n_faces (report->job) == 0)
    return;
  /* With the words under it and the first rows of the first face. */
  rake_flow_keep (&report->flow, 170);
  rake_flow_heading (&report->flow, 1, _ ("The work, in order"));
  rake_flow_paragraph (&report->flow, RAKE_TYPE_SOFT,
                       _ ("Directions are degrees on the face: 0 towards its top edge, clockwise. "
                          "Times are the bench’s own."));
  for (guint i = 0; i < rake_job_get_n_faces (report->job); i++)
    print_face (&work, rake_job_get_face (report->job, i));
  g_free (work.day);
  rake_flow_end_section (&report->flow);
}
