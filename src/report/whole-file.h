/* whole-file.h - a file that appears whole or not at all. Private to src/report.
 *
 * It is written beside its place under a name of its own and takes its place when all of it is on the
 * disk; what was there before stays until then. */
#pragma once
#include <gio/gio.h>

typedef struct _RakeWholeFile RakeWholeFile;

/* NULL with RAKE_REPORT_ERROR_WRITE when the folder is not there or not ours to write in. */
RakeWholeFile *rake_whole_file_new (const char *path, GError **error);

/* FALSE once anything failed: a full disk above all. What was wrong is told by the commit. */
gboolean rake_whole_file_write (RakeWholeFile *file, const void *bytes, gsize n_bytes);
gboolean rake_whole_file_has_failed (const RakeWholeFile *file);

gsize rake_whole_file_get_length (const RakeWholeFile *file);

/* Reads again what was written, @n_bytes from @from on or what there is of them. Not by a map: that takes
 * in the pages around what is read, and so much memory for each photograph. */
gsize rake_whole_file_read (RakeWholeFile *file, gsize from, void *bytes, gsize n_bytes);

/* Puts it in its place. FALSE with RAKE_REPORT_ERROR_WRITE; nothing is then left behind. */
gboolean rake_whole_file_commit (RakeWholeFile *file, GError **error);

/* Takes away what was not committed. NULL is fine. */
void rake_whole_file_free (RakeWholeFile *file);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (RakeWholeFile, rake_whole_file_free)
