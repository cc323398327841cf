/* report-paper.h - the pages of a report, one below the other, on paper: to scroll through and bring
 * nearer. */
#pragma once
#include <gtk/gtk.h>
#include <rakelight/report.h>

#define RAKE_TYPE_REPORT_PAPER (rake_report_paper_get_type ())
G_DECLARE_FINAL_TYPE (RakeReportPaper, rake_report_paper, RAKE, REPORT_PAPER, GtkWidget)

/* Takes over @pages; NULL: none. The place that is looked at stays as far as there are so many pages. */
void rake_report_paper_show (RakeReportPaper *self, RakeReportPages *pages);

/* NULL when there are none. */
const RakeReportPages *rake_report_paper_get_pages (RakeReportPaper *self);

/* Nearer or further by a step; 0: as wide as the room. */
void rake_report_paper_zoom (RakeReportPaper *self, int steps);
