/* share.h - how many of its random cases a test tries.
 *
 * Under the sanitizers every case costs several times as much and is looked at for another fault:
 * RAKE_TEST_SHARE=4 asks for a quarter of them, at least one. */
#pragma once
#include <glib.h>

static inline guint
test_share (guint n_cases)
{
  const char *given = g_getenv ("RAKE_TEST_SHARE");
  guint64 share = given != NULL ? g_ascii_strtoull (given, NULL, 10) : 1;

  return share <= 1 ? n_cases : MAX (1, (guint) (n_cases / share));
}
