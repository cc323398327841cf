/* report-hand-over.c - how the piece left the shop, or what still stands in the way; the warranty. */
#include "report-private.h"

#include <rakelight/record.h>
#include <rakelight/seal.h>

#include <math.h>

#define DAY_MS 86400000.0

/* --- hand-over --------------------------------------------------------------------------------- */

static gboolean
is_work (const RakeEntry *entry)
{
  return entry->kind == RAKE_ENTRY_PASS || entry->kind == RAKE_ENTRY_COAT ||
         entry->kind == RAKE_ENTRY_REPAIR;
}

/* "7 days planned, 6.2 days since the last pass, coat or repair" */
static char *
describe_rest (const RakeReport *report, const RakeEntry *hand_over, guint n_before)
{
  double planned = rake_job_get_rest_days (report->job);
  const RakeEntry *last = NULL;
  g_autoptr (GString) line = g_string_new (NULL);
  g_autofree char *days = NULL, *plan = NULL, *since = NULL;

  for (guint i = n_before; i-- > 0 && last == NULL;)
    {
      const RakeEntry *entry = rake_job_get_entry (report->job, i);

      if (is_work (entry) && !rake_report_is_out (report, entry))
        last = entry;
    }
  if (isfinite (planned))
    {
      plan = g_strdup_printf (ngettext ("%.0f day planned", "%.0f days planned", (gulong) planned),
                              planned);
      rake_print_add (line, plan);
    }
  if (last != NULL)
    {
      days = rake_print_number ((double) (hand_over->happened_ms - last->happened_ms) / DAY_MS, 1);
      since = g_strdup_printf (_ ("%s days since the last pass, coat or repair"), days);
      rake_print_add (line, since);
    }
  return g_string_free (g_steal_pointer (&line), FALSE);
}

static char *
describe_viewing (const RakeHandOverBody *hand_over)
{
  g_autofree char *distance = NULL;

  if (!isfinite (hand_over->distance_mm))
    return g_strdup (hand_over->light);
  distance = rake_print_length (hand_over->distance_mm, 0);
  if (hand_over->light == NULL)
    return g_steal_pointer (&distance);
  /* Translators: a light, a distance: "window light, from 600 mm away". */
  return g_strdup_printf (_ ("%s, from %s away"), hand_over->light, distance);
}

static void
print_seal_then (RakeReport *report, const RakeEntry *entry, guint n_before)
{
  g_autofree char *seal = NULL, *grouped = NULL;

  if (entry->hand_over.seal == NULL)
    return;
  seal = rake_seal_take (report->job, n_before);
  grouped = rake_print_seal (entry->hand_over.seal);
  rake_report_say (report, RAKE_TYPE_SMALL,
                   g_strcmp0 (seal, entry->hand_over.seal) == 0
                       ? _ ("The seal of all entries before the hand-over, which holds: %s")
                       : _ ("The seal that was taken then does not hold: entries before the "
                            "hand-over are not what they were. %s"),
                   grouped);
}

/* Hand-overs that were struck out, struck through. */
static void
print_earlier (RakeReport *report)
{
  g_autoptr (RakeGrid) grid = rake_grid_new ();

  rake_grid_add_column (grid, _ ("Handed over"), RAKE_ALIGN_LEFT, 0);
  rake_grid_add_column (grid, _ ("Condition"), RAKE_ALIGN_LEFT, 1);
  rake_grid_add_column (grid, _ ("Who"), RAKE_ALIGN_LEFT, 0);
  for (guint i = 0; i < rake_job_get_n_entries (report->job); i++)
    {
      const RakeEntry *entry = rake_job_get_entry (report->job, i);

      if (entry->kind != RAKE_ENTRY_HAND_OVER || !rake_report_is_out (report, entry))
        continue;
      rake_report_add_row (report, grid, entry);
      rake_grid_take (grid, rake_print_time (entry->happened_ms, entry->utc_offset_minutes));
      rake_grid_add (grid, entry->hand_over.condition);
      rake_grid_add (grid, entry->who);
    }
  rake_flow_grid (&report->flow, grid, RAKE_TYPE_SMALL);
}

static void
print_obstacles (RakeReport *report)
{
  RakeFlow *flow = &report->flow;
  g_autoptr (GPtrArray) obstacles =
      rake_job_list_obstacles (report->job, report->rules, report->options->now_ms);

  if (!rake_report_is_for_shop (report) || obstacles->len == 0)
    return;
  rake_flow_heading (flow, 1, _ ("What stands in the way of a hand-over"));
  rake_flow_begin_list (flow);
  for (guint i = 0; i < obstacles->len; i++)
    rake_flow_item (flow, ((const RakeObstacle *) obstacles->pdata[i])->sentence);
  rake_flow_end_list (flow);
  print_earlier (report);
  rake_flow_end_section (flow);
}

void
rake_report_print_hand_over (RakeReport *report)
{
  RakeFlow *flow = &report->flow;
  guint n_before = 0;
  const RakeEntry *entry = rake_job_find_hand_over (report->job, &n_before);
  g_autoptr (RakeGrid) grid = rake_report_new_facts ();
  const RakeHandOverBody *body;

  if (entry == NULL)
    {
      print_obstacles (report);
      return;
    }
  body = &entry->hand_over;
  rake_report_add_fact (grid, _ ("Handed over"),
                        rake_print_time (entry->happened_ms, entry->utc_offset_minutes));
  rake_report_add_fact (grid, _ ("By"), g_strdup (entry->who));
  rake_report_add_fact (grid, _ ("Condition"), g_strdup (body->condition));
  rake_report_add_fact (grid, _ ("Looked at in"), describe_viewing (body));
  rake_report_add_fact (grid, _ ("Not examined"), g_strdup (body->not_examined));
  rake_report_add_fact (grid, _ ("Rest"), describe_rest (report, entry, n_before));
  rake_report_add_fact (grid, _ ("The job since"),
                        g_strdup (rake_job_is_closed (report->job)
                                      ? _ ("closed for work, open for claims")
                                      : _ ("open again while a claim is")));
  rake_flow_keep (flow, 150);
  rake_flow_heading (flow, 1, _ ("Hand-over"));
  rake_flow_grid (flow, grid, RAKE_TYPE_BODY);
  print_seal_then (report, entry, n_before);
  print_earlier (report);
  rake_flow_end_section (flow);
}

/* --- warranty ---------------------------------------------------------------------------------- */

static void
print_lines (RakeFlow *flow, const char *text)
{
  g_auto (GStrv) lines = g_strsplit (text, "\n", -1);

  for (guint i = 0; lines[i] != NULL; i++)
    if (*g_strstrip (lines[i]) != '\0')
      rake_flow_paragraph (flow, RAKE_TYPE_BODY, lines[i]);
}

void
rake_report_print_warranty (RakeReport *report)
{
  RakeFlow *flow = &report->flow;
  const RakeEntry *entry = rake_job_find_hand_over (report->job, NULL);
  const RakeHandOverBody *body = entry != NULL ? &entry->hand_over : NULL;
  g_autoptr (RakeGrid) grid = rake_report_new_facts ();
  g_autofree char *day = NULL;

  if (body == NULL || (body->terms == NULL && body->exclusions == NULL && !isfinite (body->months)))
    return;
  rake_flow_heading (flow, 1, _ ("Warranty"));
  day = rake_print_day (entry->happened_ms, entry->utc_offset_minutes);
  if (isfinite (body->months))
    rake_report_add_fact (grid, _ ("Holds"),
                          /* Translators: so many months from a day. */
                          g_strdup_printf (ngettext ("%.0f month from %s", "%.0f months from %s",
                                                     (gulong) body->months),
                                           body->months, day));
  rake_report_add_fact (grid, _ ("Not covered"), g_strdup (body->exclusions));
  rake_flow_grid (flow, grid, RAKE_TYPE_BODY);
  if (body->terms != NULL)
    print_lines (flow, body->terms);
  rake_flow_paragraph (flow, RAKE_TYPE_SOFT,
                       _ ("The law of the place comes first: where it says otherwise, it holds."));
  rake_flow_end_section (flow);
}
