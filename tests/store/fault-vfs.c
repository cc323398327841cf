/* fault-vfs.c - a file system that fails when told to. */
#include "fault-vfs.h"

#include <sqlite3.h>
#include <string.h>

static struct
{
  gboolean is_on, for_good, has_failed;
  FaultKind kind;
  guint left;
} fault;

void
fault_file_system_fail (guint nth, FaultKind kind, gboolean for_good)
{
  fault.is_on = TRUE;
  fault.for_good = for_good;
  fault.has_failed = FALSE;
  fault.kind = kind;
  fault.left = nth;
}

gboolean
fault_file_system_stop (void)
{
  fault.is_on = FALSE;
  return fault.has_failed;
}

static gboolean
fails_now (void)
{
  if (!fault.is_on)
    return FALSE;
  if (fault.left > 0)
    fault.left--;
  if (fault.left > 0 || (fault.has_failed && !fault.for_good))
    return FALSE;
  fault.has_failed = TRUE;
  return TRUE;
}

/* --- files ---------------------------------------------------------------------------------------- */

typedef struct
{
  sqlite3_file file; /* first, as SQLite sees it */
  sqlite3_file *real;
} FaultFile;

#define REAL(f) (((FaultFile *) (f))->real)

static int
fault_write (sqlite3_file *file, const void *bytes, int n_bytes, sqlite3_int64 offset)
{
  if (!fails_now ())
    return REAL (file)->pMethods->xWrite (REAL (file), bytes, n_bytes, offset);
  REAL (file)->pMethods->xWrite (REAL (file), bytes, n_bytes / 2, offset);
  return fault.kind == FAULT_FULL ? SQLITE_FULL : SQLITE_IOERR_WRITE;
}

static int
fault_truncate (sqlite3_file *file, sqlite3_int64 size)
{
  if (fault.kind == FAULT_MEDIUM && fails_now ())
    return SQLITE_IOERR_TRUNCATE;
  return REAL (file)->pMethods->xTruncate (REAL (file), size);
}

static int
fault_sync (sqlite3_file *file, int flags)
{
  if (fault.kind == FAULT_MEDIUM && fails_now ())
    return SQLITE_IOERR_FSYNC;
  return REAL (file)->pMethods->xSync (REAL (file), flags);
}

static int
fault_close (sqlite3_file *file)
{
  return REAL (file)->pMethods->xClose (REAL (file));
}

static int
fault_read (sqlite3_file *file, void *bytes, int n_bytes, sqlite3_int64 offset)
{
  return REAL (file)->pMethods->xRead (REAL (file), bytes, n_bytes, offset);
}

static int
fault_file_size (sqlite3_file *file, sqlite3_int64 *size)
{
  return REAL (file)->pMethods->xFileSize (REAL (file), size);
}

static int
fault_lock (sqlite3_file *file, int lock)
{
  return REAL (file)->pMethods->xLock (REAL (file), lock);
}

static int
fault_unlock (sqlite3_file *file, int lock)
{
  return REAL (file)->pMethods->xUnlock (REAL (file), lock);
}

static int
fault_check_lock (sqlite3_file *file, int *is_locked)
{
  return REAL (file)->pMethods->xCheckReservedLock (REAL (file), is_locked);
}

static int
fault_control (sqlite3_file *file, int what, void *argument)
{
  return REAL (file)->pMethods->xFileControl (REAL (file), what, argument);
}

static int
fault_sector_size (sqlite3_file *file)
{
  return REAL (file)->pMethods->xSectorSize (REAL (file));
}

static int
fault_characteristics (sqlite3_file *file)
{
  return REAL (file)->pMethods->xDeviceCharacteristics (REAL (file));
}

static int
fault_shm_map (sqlite3_file *file, int page, int size, int extend, void volatile **memory)
{
  return REAL (file)->pMethods->xShmMap (REAL (file), page, size, extend, memory);
}

static int
fault_shm_lock (sqlite3_file *file, int offset, int n, int flags)
{
  return REAL (file)->pMethods->xShmLock (REAL (file), offset, n, flags);
}

static void
fault_shm_barrier (sqlite3_file *file)
{
  REAL (file)->pMethods->xShmBarrier (REAL (file));
}

static int
fault_shm_unmap (sqlite3_file *file, int delete_flag)
{
  return REAL (file)->pMethods->xShmUnmap (REAL (file), delete_flag);
}

/* Version 2: with the shared memory of the log, without mapping the file itself. */
static const sqlite3_io_methods methods = {
  .iVersion = 2,
  .xClose = fault_close,
  .xRead = fault_read,
  .xWrite = fault_write,
  .xTruncate = fault_truncate,
  .xSync = fault_sync,
  .xFileSize = fault_file_size,
  .xLock = fault_lock,
  .xUnlock = fault_unlock,
  .xCheckReservedLock = fault_check_lock,
  .xFileControl = fault_control,
  .xSectorSize = fault_sector_size,
  .xDeviceCharacteristics = fault_characteristics,
  .xShmMap = fault_shm_map,
  .xShmLock = fault_shm_lock,
  .xShmBarrier = fault_shm_barrier,
  .xShmUnmap = fault_shm_unmap,
};

/* --- the file system ------------------------------------------------------------------------------ */

static sqlite3_vfs *real;
static sqlite3_vfs shim;

static int
fault_open (sqlite3_vfs *vfs, const char *name, sqlite3_file *file, int flags, int *out_flags)
{
  int result;

  memset (file, 0, sizeof (FaultFile));
  REAL (file) = (sqlite3_file *) ((FaultFile *) file + 1);
  if (fault.kind == FAULT_MEDIUM && fails_now ())
    return SQLITE_CANTOPEN;
  result = real->xOpen (real, name, REAL (file), flags, out_flags);
  if (REAL (file)->pMethods != NULL)
    file->pMethods = &methods;
  return result;
}

static int
fault_delete (sqlite3_vfs *vfs, const char *name, int sync)
{
  if (fault.kind == FAULT_MEDIUM && fails_now ())
    return SQLITE_IOERR_DELETE;
  return real->xDelete (real, name, sync);
}

void
fault_file_system_install (void)
{
  real = sqlite3_vfs_find (NULL);
  shim = *real;
  shim.zName = "fault";
  shim.szOsFile = real->szOsFile + (int) sizeof (FaultFile);
  shim.xOpen = fault_open;
  shim.xDelete = fault_delete;
  sqlite3_vfs_register (&shim, TRUE);
}
