/* slip-section.h - a part of the zone slip behind its heading: the rows are made when it is opened.
 *
 * Signal "fill": the section is open and wants its rows (rake_slip_section_add()). */
#pragma once
#include <gtk/gtk.h>

#define RAKE_TYPE_SLIP_SECTION (rake_slip_section_get_type ())
G_DECLARE_FINAL_TYPE (RakeSlipSection, rake_slip_section, RAKE, SLIP_SECTION, GtkWidget)

/* Brings the section up to date: with nothing in it, it is hidden.
 *
 * heading  "Passes"; the number is said after it */
void rake_slip_section_show (RakeSlipSection *self, const char *heading, guint n_items);

/* Adds a row while "fill" is emitted. */
void rake_slip_section_add (RakeSlipSection *self, GtkWidget *row);

void rake_slip_section_set_open (RakeSlipSection *self, gboolean is_open);
