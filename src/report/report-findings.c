/* report-findings.c - marks kept for the record, repairs, acceptances. */
#include "report-private.h"

#include <rakelight/repair.h>

#include <math.h>

#define DAY_MS 86400000.0
#define HOUR_MS 3600000.0

/* --- marks ----------------------------------------------------------------------------------- */

/* Low spots come and go with every pass: those that were simply levelled are told with the work. */
static gboolean
is_kept (const RakeMark *mark)
{
  return mark->kind != RAKE_MARK_LOW_SPOT || mark->closed_by == NULL || mark->was_repaired;
}

static char *
describe_standing (const RakeZone *zone, const RakeMark *mark)
{
  g_autofree char *day = NULL;

  if (mark->closed_by == NULL)
    return g_strdup (rake_mark_is_carried (zone, mark)
                         ? C_ ("mark", "Open, carried to a finer grit")
                         : C_ ("mark", "Open"));
  day = rake_print_day (mark->closed_by->happened_ms, mark->closed_by->utc_offset_minutes);
  if (!mark->was_repaired)
    return g_strdup_printf (_ ("Gone, %s"), day);
  return g_strdup_printf (_ ("Repaired, %s"), day);
}

static char *
describe_finding (const RakeReport *report, const RakeMark *mark)
{
  const RakeEntry *look = rake_job_find_entry (report->job, mark->entry->mark.look);
  GString *line = g_string_new (NULL);
  g_autofree char *day = rake_print_day (mark->entry->happened_ms, mark->entry->utc_offset_minutes);
  g_autofree char *stage = mark->stage != NULL ? rake_print_stage (mark->stage) : NULL;
  g_autofree char *lamp = NULL;

  rake_print_add (line, day);
  rake_print_add (line, stage);
  if (look != NULL && look->kind == RAKE_ENTRY_LOOK && isfinite (look->look.lamp_deg))
    {
      g_autofree char *deg = rake_print_direction (look->look.lamp_deg);
      lamp = g_strdup_printf (_ ("lamp at %s"), deg);
      rake_print_add (line, lamp);
    }
  return g_string_free (line, FALSE);
}

static char *
describe_extent (const RakeMark *mark)
{
  const RakeMarkBody *body = &mark->entry->mark;
  GString *line = g_string_new (NULL);
  g_autofree char *size = rake_print_size (mark->shape), *width = NULL, *depth = NULL;

  rake_print_add (line, size);
  if (isfinite (body->width_mm))
    {
      g_autofree char *wide = rake_print_length (body->width_mm, 1);
      width = g_strdup_printf (_ ("%s wide"), wide);
      rake_print_add (line, width);
    }
  if (isfinite (body->depth_um))
    {
      g_autofree char *deep = rake_print_film (body->depth_um, 0);
      depth = g_strdup_printf (_ ("%s deep"), deep);
      rake_print_add (line, depth);
    }
  return g_string_free (line, FALSE);
}

static void
add_mark_row (RakeReport *report, RakeGrid *grid, const RakeZone *zone, const RakeMark *mark)
{
  g_autofree char *place = rake_print_place (mark->shape, zone->face->outline);
  g_autofree char *where = g_strdup_printf ("%s: %s", zone->name, place);

  rake_grid_add_row (grid);
  rake_grid_add_with (grid, _ (rake_mark_kind_get_label (mark->kind)), RAKE_CELL_STRONG,
                      RAKE_SIGN_MARK, (int) mark->kind);
  rake_grid_add (grid, where);
  rake_grid_take (grid, describe_extent (mark));
  rake_grid_take (grid, describe_finding (report, mark));
  rake_grid_add (grid, mark->entry->mark.cause);
  rake_grid_take (grid, describe_standing (zone, mark));
}

/* A mark across a seam is in both zones: it is one thing, and stands once. */
static void
add_marks_of_face (RakeReport *report, RakeGrid *grid, const RakeFace *face, GHashTable *met)
{
  gboolean has_group = FALSE;

  for (guint i = 0; i < face->zones->len; i++)
    {
      const RakeZone *zone = face->zones->pdata[i];

      for (guint j = 0; j < zone->marks->len; j++)
        {
          const RakeMark *mark = zone->marks->pdata[j];

          if (!is_kept (mark) || !g_hash_table_add (met, (gpointer) &mark->entry->id))
            continue;
          if (!has_group)
            rake_grid_add_group (grid, face->name);
          has_group = TRUE;
          add_mark_row (report, grid, zone, mark);
        }
    }
}

void
rake_report_print_marks (RakeReport *report)
{
  g_autoptr (RakeGrid) grid = rake_grid_new ();
  g_autoptr (GHashTable) met = g_hash_table_new (rake_id_hash_key, rake_id_equal_key);

  rake_grid_add_column (grid, _ ("What"), RAKE_ALIGN_LEFT, 0);
  rake_grid_add_column (grid, _ ("Where"), RAKE_ALIGN_LEFT, 1);
  rake_grid_add_column (grid, _ ("Size"), RAKE_ALIGN_LEFT, 0);
  rake_grid_add_column (grid, _ ("Found"), RAKE_ALIGN_LEFT, 0.7);
  rake_grid_add_column (grid, _ ("Cause, as far as known"), RAKE_ALIGN_LEFT, 0.6);
  rake_grid_add_column (grid, _ ("Now"), RAKE_ALIGN_LEFT, 0.5);
  for (guint i = 0; i < rake_job_get_n_faces (report->job); i++)
    add_marks_of_face (report, grid, rake_job_get_face (report->job, i), met);
  rake_flow_heading (&report->flow, 1, _ ("Marks kept for the record"));
  if (rake_grid_get_n_rows (grid) == 0)
    rake_flow_paragraph (&report->flow, RAKE_TYPE_BODY,
                         _ ("Nothing was marked that is still open or "
                            "was repaired."));
  else
    rake_flow_paragraph (
        &report->flow, RAKE_TYPE_SOFT,
        _ ("Places are measured to the middle of the mark, from the left and the top of the face "
           "as "
           "it lies on its map. Low spots that were simply levelled are told with the work."));
  rake_flow_grid (&report->flow, grid, RAKE_TYPE_SMALL);
  rake_flow_end_section (&report->flow);
}

/* --- repairs --------------------------------------------------------------------------------- */

static char *
list_marks (const RakeReport *report, const GArray *marks)
{
  GString *line = g_string_new (NULL);

  for (guint i = 0; i < marks->len; i++)
    {
      const RakeEntry *entry = rake_job_find_entry (report->job, g_array_index (marks, RakeId, i));

      if (entry != NULL && entry->kind == RAKE_ENTRY_MARK)
        rake_print_add (line, _ (rake_mark_kind_get_label (entry->mark.mark)));
    }
  return g_string_free (line, FALSE);
}

/* How long a fill waits, and since when or until when; NULL for what has no clock. */
static char *
describe_clock (const RakeReport *report, const RakeEntry *entry)
{
  const RakeZone *zone = rake_job_find_zone (report->job, entry->repair.zone);
  g_autoptr (GArray) fills =
      zone != NULL ? rake_repair_list_fills (report->job, zone, report->options->now_ms) : NULL;

  for (guint i = 0; fills != NULL && i < fills->len; i++)
    {
      const RakeFillClock *clock = &g_array_index (fills, RakeFillClock, i);
      g_autofree char *days = NULL, *until = NULL;

      if (clock->repair != entry)
        continue;
      days = rake_print_number (clock->days, clock->days < 1 ? 1 : 0);
      until = rake_print_time (entry->happened_ms + (gint64) (clock->days * DAY_MS),
                               entry->utc_offset_minutes);
      /* Translators: days, then the time at which they are over. */
      return g_strdup_printf (clock->days_left > 0 ? _ ("%s days, still waits until %s")
                                                   : _ ("%s days, over since %s"),
                              days, until);
    }
  return NULL;
}

static void
add_repair_row (RakeReport *report, RakeGrid *grid, const RakeEntry *entry)
{
  const RakeRepairBody *repair = &entry->repair;

  rake_report_add_row (report, grid, entry);
  rake_grid_take (grid, rake_print_time (entry->happened_ms, entry->utc_offset_minutes));
  rake_grid_add_with (grid, rake_report_name (report, repair->zone), RAKE_CELL_PLAIN,
                      RAKE_SIGN_NONE, 0);
  rake_grid_add (grid, rake_print_repair (repair->method));
  rake_grid_take (grid, list_marks (report, repair->marks));
  rake_grid_take (grid,
                  rake_print_normal ((RakeNormal){ repair->added_um, repair->added_sd_um }, 0));
  rake_grid_take (grid,
                  rake_print_normal ((RakeNormal){ repair->removed_um, repair->removed_sd_um }, 0));
  rake_grid_take (grid, rake_report_is_out (report, entry) ? NULL : describe_clock (report, entry));
  rake_grid_add (grid, repair->outcome);
}

/* While a fill still waits, what to know of it: for who goes on with it. */
static void
print_waiting (RakeReport *report, const RakeZone *zone)
{
  g_autoptr (GArray) fills = rake_repair_list_fills (report->job, zone, report->options->now_ms);
  const RakeFillClock *clock =
      fills->len > 0 ? &g_array_index (fills, RakeFillClock, fills->len - 1) : NULL;
  g_autoptr (GPtrArray) advice = NULL;
  g_autofree char *from = NULL, *drop = NULL;

  if (clock == NULL || clock->days_left <= 0)
    return;
  /* Not alone at the foot of a page. */
  rake_flow_need (&report->flow, 5 * rake_type_get_leading (RAKE_TYPE_BODY));
  rake_report_say (report, RAKE_TYPE_STRONG, "%s: %s", zone->name,
                   rake_print_repair (clock->repair->repair.method));
  advice = rake_repair_list_advice (report->job, zone, clock->repair->repair.method);
  rake_flow_begin_list (&report->flow);
  if (clock->next_hours > 0)
    {
      from = rake_print_time (report->options->now_ms + (gint64) (clock->next_hours * HOUR_MS),
                              clock->repair->utc_offset_minutes);
      drop = g_strdup_printf (_ ("The next drop from %s on."), from);
      rake_flow_item (&report->flow, drop);
    }
  for (guint i = 0; i < advice->len; i++)
    rake_flow_item (&report->flow, advice->pdata[i]);
  rake_flow_end_list (&report->flow);
}

static void
print_all_waiting (RakeReport *report)
{
  for (guint i = 0; i < rake_job_get_n_faces (report->job); i++)
    {
      const RakeFace *face = rake_job_get_face (report->job, i);

      for (guint j = 0; j < face->zones->len; j++)
        print_waiting (report, face->zones->pdata[j]);
    }
}

void
rake_report_print_repairs (RakeReport *report)
{
  g_autoptr (RakeGrid) grid = rake_grid_new ();

  rake_grid_add_column (grid, _ ("When"), RAKE_ALIGN_LEFT, 0);
  rake_grid_add_column (grid, _ ("Zone"), RAKE_ALIGN_LEFT, 0);
  rake_grid_add_column (grid, _ ("What was done"), RAKE_ALIGN_LEFT, 0);
  rake_grid_add_column (grid, _ ("About"), RAKE_ALIGN_LEFT, 0);
  rake_grid_add_column (grid, _ ("Film added"), RAKE_ALIGN_RIGHT, 0);
  rake_grid_add_column (grid, _ ("Film taken"), RAKE_ALIGN_RIGHT, 0);
  rake_grid_add_column (grid, _ ("Clock"), RAKE_ALIGN_LEFT, 0.5);
  rake_grid_add_column (grid, _ ("Outcome"), RAKE_ALIGN_LEFT, 1);
  for (guint i = 0; i < rake_job_get_n_entries (report->job); i++)
    {
      const RakeEntry *entry = rake_job_get_entry (report->job, i);

      if (entry->kind == RAKE_ENTRY_REPAIR)
        add_repair_row (report, grid, entry);
    }
  if (rake_grid_get_n_rows (grid) == 0)
    return;
  rake_flow_heading (&report->flow, 1, _ ("Repairs"));
  rake_flow_paragraph (
      &report->flow, RAKE_TYPE_SOFT,
      _ ("A repair can look different under another light and may age differently "
         "from the finish around it. Repaired places keep a stitched outline on the "
         "maps."));
  rake_flow_grid (&report->flow, grid, RAKE_TYPE_SMALL);
  if (rake_report_is_for_shop (report))
    print_all_waiting (report);
  rake_flow_end_section (&report->flow);
}

/* --- acceptances ----------------------------------------------------------------------------- */

static void
add_acceptance_row (RakeReport *report, RakeGrid *grid, const RakeEntry *entry)
{
  const RakeAcceptanceBody *body = &entry->acceptance;
  g_autoptr (GString) rules = g_string_new (NULL);

  for (guint i = 0; i < body->rules->len; i++)
    rake_print_add (rules, body->rules->pdata[i]);
  rake_report_add_row (report, grid, entry);
  rake_grid_take (grid, rake_print_time (entry->happened_ms, entry->utc_offset_minutes));
  rake_grid_add (grid, rake_report_name (report, body->zone));
  rake_grid_add_with (grid, _ (rake_verdict_get_label (body->verdict)), RAKE_CELL_PLAIN,
                      RAKE_SIGN_VERDICT, (int) body->verdict);
  rake_grid_add (grid, body->reason);
  rake_grid_add_with (grid, rules->str, RAKE_CELL_SOFT, RAKE_SIGN_NONE, 0);
  rake_grid_add (grid, entry->who);
}

void
rake_report_print_acceptances (RakeReport *report)
{
  g_autoptr (RakeGrid) grid = rake_grid_new ();

  rake_grid_add_column (grid, _ ("When"), RAKE_ALIGN_LEFT, 0);
  rake_grid_add_column (grid, _ ("Zone"), RAKE_ALIGN_LEFT, 0);
  rake_grid_add_column (grid, _ ("Against"), RAKE_ALIGN_LEFT, 0);
  rake_grid_add_column (grid, _ ("Reason"), RAKE_ALIGN_LEFT, 1);
  rake_grid_add_column (grid, _ ("Rules that spoke"), RAKE_ALIGN_LEFT, 0);
  rake_grid_add_column (grid, _ ("Who"), RAKE_ALIGN_LEFT, 0);
  for (guint i = 0; i < rake_job_get_n_entries (report->job); i++)
    {
      const RakeEntry *entry = rake_job_get_entry (report->job, i);

      if (entry->kind == RAKE_ENTRY_ACCEPTANCE)
        add_acceptance_row (report, grid, entry);
    }
  if (rake_grid_get_n_rows (grid) == 0)
    return;
  rake_flow_heading (&report->flow, 1, _ ("Accepted as it is"));
  rake_flow_paragraph (&report->flow, RAKE_TYPE_SOFT,
                       _ ("Zones that were taken as they are, against what the rules said."));
  rake_flow_grid (&report->flow, grid, RAKE_TYPE_SMALL);
  rake_flow_end_section (&report->flow);
}
