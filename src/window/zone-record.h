/* zone-record.h - what was done to a zone and seen on it: the chart of its passes, and behind
 * headings its passes, looks, marks, repairs and acceptances, readings and notes, newest first.
 *
 * The longest lists show their newest part and lead to the logbook (action slip.show-log). */
#pragma once
#include <gtk/gtk.h>
#include "session.h"

#define RAKE_TYPE_ZONE_RECORD (rake_zone_record_get_type ())
G_DECLARE_FINAL_TYPE (RakeZoneRecord, rake_zone_record, RAKE, ZONE_RECORD, GtkWidget)

/* @zone may be NULL: nothing is shown. */
void rake_zone_record_show (RakeZoneRecord *self, RakeSession *session, const RakeZone *zone);
