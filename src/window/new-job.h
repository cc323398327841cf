/* new-job.h - makes a job: piece, finish, faces, zones, schedule.
 *
 * Property "session": RakeSession, read-write, may be NULL.
 * When done it activates win.open-job (path as text); win.back-to-shelf when given up. */
#pragma once
#include <gtk/gtk.h>
#include "session.h"

#define RAKE_TYPE_NEW_JOB (rake_new_job_get_type ())
G_DECLARE_FINAL_TYPE (RakeNewJob, rake_new_job, RAKE, NEW_JOB, GtkWidget)
