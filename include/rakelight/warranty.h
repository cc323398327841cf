/* warranty.h - warranty terms from a template with blanks.
 *
 * A template is plain text; a blank is a name in braces: {shop} {piece} {finish} {months} {date} {light}
 * {distance} {exclusions}. Lines that begin with # are for whoever edits the template and are left out. */
#pragma once
#include <rakelight/job.h>

#define RAKE_WARRANTY_ERROR (rake_warranty_error_quark ())
GQuark rake_warranty_error_quark (void);

typedef enum
{
  RAKE_WARRANTY_ERROR_TEMPLATE, /* a blank that does not exist, or a brace that is not closed */
} RakeWarrantyError;

/* Our own template in the language of @locale ("de_DE.UTF-8"); English where there is none. */
const char *rake_warranty_get_template (const char *locale);

/* The template with its blanks filled from the job and from what @hand_over says; what neither says becomes
 * a line to write on.
 *
 * n_open   out, may be NULL: how many blanks that were
 * returns  text that the caller frees; NULL with RAKE_WARRANTY_ERROR_TEMPLATE */
char *rake_warranty_fill (const char *template_text, const RakeJob *job,
                          const RakeHandOverBody *hand_over, const char *date, guint *n_open,
                          GError **error);
