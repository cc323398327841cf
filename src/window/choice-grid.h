/* choice-grid.h - a choice of one among a few, as large rows to tap, side by side. */
#pragma once
#include <gtk/gtk.h>

/* Property "chosen": the value of the row that is ticked, 0 while none is; it tells of every change. */
#define RAKE_TYPE_CHOICE_GRID (rake_choice_grid_get_type ())
G_DECLARE_FINAL_TYPE (RakeChoiceGrid, rake_choice_grid, RAKE, CHOICE_GRID, GtkGrid)

/* @abreast: how many rows stand side by side, property "abreast". @value is not 0. */
void rake_choice_grid_add (RakeChoiceGrid *self, int value, const char *label);

/* Ticks the row of @value; nothing happens where there is none. */
void rake_choice_grid_choose (RakeChoiceGrid *self, int value);
int rake_choice_grid_get_chosen (RakeChoiceGrid *self);
