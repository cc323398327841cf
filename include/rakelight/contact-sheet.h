/* contact-sheet.h - all photographs of a job on paper, small, each with what it is.
 *
 * Twelve or so a page in the order of the logbook: number, face and stage, when it was taken, where the
 * lamp stood, the name of its file. One that was withdrawn keeps its place and says so, and why. Printed
 * are the thumbnails that the job file keeps, in which nothing of the camera is; a photograph that has none yet
 * says so too. */
#pragma once
#include <rakelight/photo-store.h>
#include <rakelight/report.h>

/* As rake_report_write(): a PDF, whole or not at all.
 *
 * face  RAKE_ID_NIL: of the whole job
 * returns  FALSE with RAKE_REPORT_ERROR, or the job file's when a thumbnail cannot be read */
gboolean rake_contact_sheet_write (const char *path, RakeJobFile *file, const RakeJob *job, RakeId face,
                                   RakeSheet sheet, GError **error);
