/* report-care.c - how to look after the finish. */
#include "report-private.h"

#include <rakelight/care.h>

void
rake_report_print_care (RakeReport *report)
{
  RakeFlow *flow = &report->flow;
  const RakeJobFacts *facts = rake_job_find_facts (report->job);
  g_autoptr (GPtrArray) advice = facts != NULL
                                     ? rake_care_list (facts->finish, facts->sheen)
                                     : rake_care_list (RAKE_FINISH_UNSAID, RAKE_SHEEN_UNSAID);

  rake_flow_heading (flow, 1, _ ("Care"));
  rake_flow_begin_list (flow);
  for (guint i = 0; i < advice->len; i++)
    rake_flow_item (flow, _ (advice->pdata[i]));
  rake_flow_end_list (flow);
  rake_flow_paragraph (
      flow, RAKE_TYPE_SOFT,
      _ ("General advice. What the maker of the finish and the shop say of this piece "
         "takes precedence."));
  rake_flow_end_section (flow);
}
