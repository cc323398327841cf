/* film-section.h - the film of the zone in the slip: the cut, the risks, the forecast, the ledger. */
#pragma once
#include "session.h"

#include <gtk/gtk.h>
#include <rakelight/nominal.h>

#define RAKE_TYPE_FILM_SECTION (rake_film_section_get_type ())
G_DECLARE_FINAL_TYPE (RakeFilmSection, rake_film_section, RAKE, FILM_SECTION, GtkWidget)

/* @zone NULL: nothing. Of the job as shown; kept for as long as the job is. */
void rake_film_section_show (RakeFilmSection *self, RakeSession *session, const RakeZone *zone);

/* Says in @label how readings of @where stand against the nominal film; hides it when there is nothing
 * to say, or @check is NULL. */
void rake_nominal_check_show (const RakeNominalCheck *check, const char *where, GtkWidget *label);
