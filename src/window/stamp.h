/* stamp.h - a number that tells whether what something was made from is still the same.
 *
 * FNV-1a's offset and prime, taken a word at a time; the shift lets high bits reach low ones. Enough
 * to tell two lists of pointers apart, not meant to resist anybody. */
#pragma once
#include <glib.h>
#include <string.h>

#define RAKE_STAMP_START G_GUINT64_CONSTANT (0xcbf29ce484222325)

static inline guint64
rake_stamp_mix (guint64 stamp, guint64 value)
{
  return ((stamp ^ value) * G_GUINT64_CONSTANT (0x100000001b3)) ^ (stamp >> 29);
}

static inline guint64
rake_stamp_mix_pointer (guint64 stamp, gconstpointer pointer)
{
  return rake_stamp_mix (stamp, (guint64) (gsize) pointer);
}

static inline guint64
rake_stamp_mix_real (guint64 stamp, double value)
{
  guint64 bits;

  memcpy (&bits, &value, sizeof bits);
  return rake_stamp_mix (stamp, bits);
}
