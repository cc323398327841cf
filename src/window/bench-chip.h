/* bench-chip.h - one setting of the bench: a tap takes the next value, a long press (or a right
 * click, or the menu key) shows them all. */
#pragma once
#include <gtk/gtk.h>
#include "picture.h"

#define RAKE_TYPE_BENCH_CHIP (rake_bench_chip_get_type ())
G_DECLARE_FINAL_TYPE (RakeBenchChip, rake_bench_chip, RAKE, BENCH_CHIP, GtkWidget)

/* A tap activates bench.next with @name; @menu, which the chip keeps, holds all values. */
RakeBenchChip *rake_bench_chip_new (const char *name, const char *caption, GMenuModel *menu);

/* Without a menu: whichever way it is tapped, @action asks. */
RakeBenchChip *rake_bench_chip_new_asking (const char *action, const char *caption);

/* The value as it is now. */
void rake_bench_chip_show (RakeBenchChip *self, const char *value);

/* A small picture before the words, for a direction. Hidden until first asked for. */
RakePicture *rake_bench_chip_get_picture (RakeBenchChip *self);
