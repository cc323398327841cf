/* report-page.h - the report as it will be handed over: looked at, saved, printed. */
#pragma once
#include "session-view.h"

#define RAKE_TYPE_REPORT_PAGE (rake_report_page_get_type ())
G_DECLARE_FINAL_TYPE (RakeReportPage, rake_report_page, RAKE, REPORT_PAGE, RakeSessionView)

/* How many pages are shown; 0 while they are being made. */
guint rake_report_page_get_n_pages (RakeReportPage *self);

/* Writes the report as it was chosen; what the chooser of the save button calls. */
void rake_report_page_save (RakeReportPage *self, const char *path);
