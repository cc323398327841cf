/* defect-slip.h - the whole story of one defect on one slip.
 *
 * Actions that it offers, with the defect's id as text: "record.tell" (tell more), "record.go" (to its
 * place on the bench), "record.claim" (a claim about it). The page that holds it has them. */
#pragma once
#include <gtk/gtk.h>
#include "session.h"

#define RAKE_TYPE_DEFECT_SLIP (rake_defect_slip_get_type ())
G_DECLARE_FINAL_TYPE (RakeDefectSlip, rake_defect_slip, RAKE, DEFECT_SLIP, GtkWidget)

/* Nil, or one that is not there any more, shows nothing. */
void rake_defect_slip_show (RakeDefectSlip *self, RakeSession *session, RakeId defect);
