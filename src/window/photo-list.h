/* photo-list.h - the photographs of a face as a list, the one taken last first: RakePhotoItem by item.
 *
 * A photograph keeps its item as long as it is in the list; what is to be shown of it differently is
 * told by the item's "changed". */
#pragma once
#include <gio/gio.h>

#include "session.h"

#define RAKE_TYPE_PHOTO_ITEM (rake_photo_item_get_type ())
G_DECLARE_FINAL_TYPE (RakePhotoItem, rake_photo_item, RAKE, PHOTO_ITEM, GObject)
RakeId rake_photo_item_get_photo (RakePhotoItem *self);

#define RAKE_TYPE_PHOTO_LIST (rake_photo_list_get_type ())
G_DECLARE_FINAL_TYPE (RakePhotoList, rake_photo_list, RAKE, PHOTO_LIST, GObject)
RakePhotoList *rake_photo_list_new (void);

/* about  a face, zone, stage …; nil: all. No session: none */
void rake_photo_list_show (RakePhotoList *self, RakeSession *session, RakeId about);

/* G_MAXUINT when it is not among them. */
guint rake_photo_list_find (RakePhotoList *self, RakeId photo);
