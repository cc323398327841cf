/* report-care.c - how to look after the finish. */
#include "report-private.h"

#include <rakelight/care.h>
#include <rakelight/record.h>

/* What was said at the hand-over comes first: that is what was promised. */
static void
print_agreed (RakeFlow *flow, const char *care)
{
  g_auto (GStrv) lines = g_strsplit (care, "\n", -1);

  rake_flow_begin_list (flow);
  for (guint i = 0; lines[i] != NULL; i++)
    if (*g_strstrip (lines[i]) != '\0')
      rake_flow_item (flow, lines[i]);
  rake_flow_end_list (flow);
}

static void
print_general (RakeReport *report)
{
  RakeFlow *flow = &report->flow;
  const RakeJobFacts *facts = rake_job_find_facts (report->job);
  g_autoptr (GPtrArray) advice = facts != NULL
                                     ? rake_care_list (facts->finish, facts->sheen)
                                     : rake_care_list (RAKE_FINISH_UNSAID, RAKE_SHEEN_UNSAID);

  rake_flow_begin_list (flow);
  for (guint i = 0; i < advice->len; i++)
    rake_flow_item (flow, _ (advice->pdata[i]));
  rake_flow_end_list (flow);
  rake_flow_paragraph (
      flow, RAKE_TYPE_SOFT,
      _ ("General advice. What the maker of the finish and the shop say of this piece "
         "takes precedence."));
}

void
rake_report_print_care (RakeReport *report)
{
  RakeFlow *flow = &report->flow;
  const RakeEntry *hand_over = rake_job_find_hand_over (report->job, NULL);
  const char *care = hand_over != NULL ? hand_over->hand_over.care : NULL;

  rake_flow_heading (flow, 1, _ ("Care"));
  if (care != NULL)
    print_agreed (flow, care);
  else
    print_general (report);
  rake_flow_end_section (flow);
}
