/* wrap-layout.h - children side by side in rows, a new row where the width ends.
 *
 * Unlike a flow box each child has its own width, so long translated words wrap to the next row
 * instead of being cut. What is left of a row is shared by its children when "stretches" is set.
 *
 * Properties "spacing" (px, between children and between rows), "stretches", and "shrinks": children
 * shrink to their least width where that saves a row. */
#pragma once
#include <gtk/gtk.h>

#define RAKE_TYPE_WRAP_LAYOUT (rake_wrap_layout_get_type ())
G_DECLARE_FINAL_TYPE (RakeWrapLayout, rake_wrap_layout, RAKE, WRAP_LAYOUT, GtkLayoutManager)

GtkLayoutManager *rake_wrap_layout_new (int spacing_px);
