/* bench-page.h - the page where the work is done: faces, schedule, map, brushes, time, zone slip.
 *
 * Property "session": RakeSession, read-write, may be NULL. It lays out its parts itself, because a
 * narrow window shows them in another order: below RAKE_BENCH_NARROW_PX the faces stand in a strip
 * above the schedule. The map takes all that is gained. */
#pragma once
#include <gtk/gtk.h>
#include "brush-bar.h"
#include "face-map.h"

#define RAKE_BENCH_NARROW_PX 1400

#define RAKE_TYPE_BENCH_PAGE (rake_bench_page_get_type ())
G_DECLARE_FINAL_TYPE (RakeBenchPage, rake_bench_page, RAKE, BENCH_PAGE, GtkWidget)

RakeFaceMap *rake_bench_page_get_map (RakeBenchPage *self);
RakeBrushBar *rake_bench_page_get_brushes (RakeBenchPage *self);
