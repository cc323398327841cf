/* fault-vfs.h - a file system that fails when told to.
 *
 * It stands before SQLite's own and is the default once installed. Writes, syncs, truncations,
 * deletions and openings are counted; a write that fails has written its first half. */
#pragma once
#include <glib.h>

typedef enum
{
  FAULT_MEDIUM, /* the medium fails: SQLITE_IOERR_… */
  FAULT_FULL,   /* writes find the disk full, the rest works */
} FaultKind;

void fault_file_system_install (void);

/* From now on the @nth counted operation fails, counting from 1; with @for_good all after it too. */
void fault_file_system_fail (guint nth, FaultKind kind, gboolean for_good);

/* No more failures. Whether there was one. */
gboolean fault_file_system_stop (void);
