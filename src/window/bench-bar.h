/* bench-bar.h - how the bench is set, a chip a setting: a tap takes the next value.
 *
 * Property "session": RakeSession, read-write, may be NULL. A setting is an action of the bar's own
 * group "bench" ("bench.surface" and so on, see bench-settings.h); its state is its value's number. */
#pragma once
#include "session-view.h"

#define RAKE_TYPE_BENCH_BAR (rake_bench_bar_get_type ())
G_DECLARE_FINAL_TYPE (RakeBenchBar, rake_bench_bar, RAKE, BENCH_BAR, RakeSessionView)
