/* care.h - how to look after a finish, by its family and sheen. Common practice, no source; our words. */
#pragma once
#include <rakelight/entry.h>

/* Sentences, untranslated (pass through gettext), constant, in the order to be read; the array is freed with
 * g_ptr_array_unref(). Advice for every finish comes first. */
GPtrArray *rake_care_list (RakeFinish finish, RakeSheen sheen);

/* One text of them for a hand-over: translated, a line each. Caller frees. */
char *rake_care_to_text (RakeFinish finish, RakeSheen sheen);
