/* shop-rates.h - what the shop's own jobs say that one pass takes: learned from the gauge pairs in the
 * job files of its folder, for a new job to begin with. */
#pragma once
#include <glib.h>

/* RAKE_ENTRY_RATE entries, none when nothing was ever measured. A file that cannot be read is passed
 * over: it will say so when it is opened. Caller frees with g_ptr_array_unref(). */
GPtrArray *rake_shop_rates_learn (void);
