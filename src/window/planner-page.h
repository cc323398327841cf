/* planner-page.h - which grits: the grades on hand, how the clear lay down, how it will be buffed, and
 * every schedule that no other beats.
 *
 * Property "session": RakeSession, read-write, may be NULL. Plans for the session's face from where it
 * stands; "Use this schedule" writes it down and goes back to the bench. What is on hand is remembered
 * for this machine. */
#pragma once
#include "session-view.h"

#define RAKE_TYPE_PLANNER_PAGE (rake_planner_page_get_type ())
G_DECLARE_FINAL_TYPE (RakePlannerPage, rake_planner_page, RAKE, PLANNER_PAGE, RakeSessionView)
