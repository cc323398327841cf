/* ghost-chip.h - "there" and "gone", beside a mark from before: one tap each. */
#pragma once
#include <gtk/gtk.h>
#include "session.h"

#define RAKE_TYPE_GHOST_CHIP (rake_ghost_chip_get_type ())
G_DECLARE_FINAL_TYPE (RakeGhostChip, rake_ghost_chip, RAKE, GHOST_CHIP, GtkWidget)

/* For @mark, called "Scratch, 49 mm" by those who cannot see which it stands at. */
RakeGhostChip *rake_ghost_chip_new (RakeId mark, const char *name);
RakeId rake_ghost_chip_get_mark (RakeGhostChip *self);
