/* wheels-page.h - the buffing bench: what each wheel carries, how fast it runs, what was done to it; how
 * long each face still cools; which zones want the narrow wheel; the cautions.
 *
 * Property "session": RakeSession, read-write, may be NULL. */
#pragma once
#include "session-view.h"

#define RAKE_TYPE_WHEELS_PAGE (rake_wheels_page_get_type ())
G_DECLARE_FINAL_TYPE (RakeWheelsPage, rake_wheels_page, RAKE, WHEELS_PAGE, RakeSessionView)
