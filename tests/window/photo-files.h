/* photo-files.h - pictures for the window's tests, written to files. */
#pragma once
#include <glib.h>

/* A JPEG of width × height, of its own bytes for each @seed. The caller frees it. */
GBytes *photo_files_make_jpeg (int width, int height, guint seed);

/* The same with an Exif block that says how it is to be turned (1 to 8) and, if wanted, where it was
 * taken. */
GBytes *photo_files_with_exif (GBytes *jpeg, int turn, gboolean has_location);

/* Writes FOLDER/NAME; returns its path, which the caller frees. */
char *photo_files_write (const char *folder, const char *name, GBytes *bytes);
