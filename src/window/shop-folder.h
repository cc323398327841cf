/* shop-folder.h - where the shop's job files lie: the folder that was chosen, else "Rakelight" among
 * the person's documents. */
#pragma once
#include <glib.h>

/* Caller frees. The folder need not exist. */
char *rake_shop_folder_get (void);
void rake_shop_folder_set (const char *path);

/* A path in it for a new job of that name that no file has yet; the folder is made. NULL with @error
 * from G_FILE_ERROR. Caller frees. */
char *rake_shop_folder_new_path (const char *job_name, GError **error);

/* The paths of its job files, last changed first: an array of char * that frees itself. */
GPtrArray *rake_shop_folder_list (void);
