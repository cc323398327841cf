/* zones-summary.h - several selected zones at once: how many, how large, each with its verdict. A tap
 * on one selects it alone (action slip.select-zone). */
#pragma once
#include <gtk/gtk.h>
#include "session.h"

#define RAKE_TYPE_ZONES_SUMMARY (rake_zones_summary_get_type ())
G_DECLARE_FINAL_TYPE (RakeZonesSummary, rake_zones_summary, RAKE, ZONES_SUMMARY, GtkWidget)

/* @zones  const RakeZone *; NULL clears it. Nothing is kept. */
void rake_zones_summary_show (RakeZonesSummary *self, RakeSession *session, GPtrArray *zones);
