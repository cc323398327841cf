/* log-row.h - one line of the logbook in the log window. */
#pragma once
#include <gtk/gtk.h>
#include "log-model.h"

#define RAKE_TYPE_LOG_ROW (rake_log_row_get_type ())
G_DECLARE_FINAL_TYPE (RakeLogRow, rake_log_row, RAKE, LOG_ROW, GtkWidget)

GtkWidget *rake_log_row_new (void);
void rake_log_row_show (RakeLogRow *self, RakeLogItem *item);
