/* photo-list.c - the photographs of a face as a list. */
#include "photo-list.h"
#include "stamp.h"

#include <rakelight/photo.h>

/* --- a photograph ---------------------------------------------------------------------------------- */

struct _RakePhotoItem
{
  GObject parent_instance;

  RakeId photo;
  guint64 stamp;
};

static guint changed_signal;

G_DEFINE_FINAL_TYPE (RakePhotoItem, rake_photo_item, G_TYPE_OBJECT)

RakeId
rake_photo_item_get_photo (RakePhotoItem *self)
{
  return self->photo;
}

static void
rake_photo_item_class_init (RakePhotoItemClass *klass)
{
  changed_signal = g_signal_new ("changed", G_TYPE_FROM_CLASS (klass), G_SIGNAL_RUN_LAST, 0, NULL,
                                 NULL, NULL, G_TYPE_NONE, 0);
}

static void
rake_photo_item_init (RakePhotoItem *self)
{
}

/* --- the list -------------------------------------------------------------------------------------- */

struct _RakePhotoList
{
  GObject parent_instance;

  GPtrArray *items;    /* RakePhotoItem, as shown */
  GHashTable *by_id;   /* RakeId * in the item → item, not owned */
};

static GType
get_item_type (GListModel *model)
{
  return RAKE_TYPE_PHOTO_ITEM;
}

static guint
get_n_items (GListModel *model)
{
  return RAKE_PHOTO_LIST (model)->items->len;
}

static gpointer
get_item (GListModel *model, guint position)
{
  RakePhotoList *self = RAKE_PHOTO_LIST (model);

  return position < self->items->len ? g_object_ref (self->items->pdata[position]) : NULL;
}

static void
take_interface (GListModelInterface *interface)
{
  interface->get_item_type = get_item_type;
  interface->get_n_items = get_n_items;
  interface->get_item = get_item;
}

G_DEFINE_FINAL_TYPE_WITH_CODE (RakePhotoList, rake_photo_list, G_TYPE_OBJECT,
                               G_IMPLEMENT_INTERFACE (G_TYPE_LIST_MODEL, take_interface))

static guint64
stamp_of (const RakePhoto *photo)
{
  guint64 stamp = rake_stamp_mix_pointer (RAKE_STAMP_START, photo->placed);

  stamp = rake_stamp_mix_pointer (stamp, photo->withdrawal);
  return rake_stamp_mix_pointer (stamp, photo->registration);
}

/* The item of before, told when something is different. */
static RakePhotoItem *
take_item (RakePhotoList *self, const RakePhoto *photo, GPtrArray *changed)
{
  RakePhotoItem *item = g_hash_table_lookup (self->by_id, &photo->id);
  guint64 stamp = stamp_of (photo);

  if (item && item->stamp != stamp)
    g_ptr_array_add (changed, g_object_ref (item));
  item = item ? g_object_ref (item) : g_object_new (RAKE_TYPE_PHOTO_ITEM, NULL);
  item->photo = photo->id;
  item->stamp = stamp;
  return item;
}

/* Rows before the first difference and after the last keep their focus and their place. */
static void
take_items (RakePhotoList *self, GPtrArray *items)
{
  g_autoptr (GPtrArray) gone = g_steal_pointer (&self->items);
  guint first = 0, last = 0, n_less = MIN (gone->len, items->len);

  while (first < n_less && gone->pdata[first] == items->pdata[first])
    first++;
  while (last < n_less - first &&
         gone->pdata[gone->len - 1 - last] == items->pdata[items->len - 1 - last])
    last++;
  self->items = g_ptr_array_ref (items);
  g_hash_table_remove_all (self->by_id);
  for (guint i = 0; i < items->len; i++)
    g_hash_table_insert (self->by_id, &((RakePhotoItem *) items->pdata[i])->photo, items->pdata[i]);
  if (gone->len - first - last > 0 || items->len - first - last > 0)
    g_list_model_items_changed (G_LIST_MODEL (self), first, gone->len - first - last,
                                items->len - first - last);
}

void
rake_photo_list_show (RakePhotoList *self, RakeSession *session, RakeId about)
{
  g_autoptr (GPtrArray) photos =
      session ? rake_job_list_photos (rake_session_get_job (session), about) : g_ptr_array_new ();
  g_autoptr (GPtrArray) items = g_ptr_array_new_with_free_func (g_object_unref);
  g_autoptr (GPtrArray) changed = g_ptr_array_new_with_free_func (g_object_unref);

  for (guint i = 0; i < photos->len; i++)
    g_ptr_array_add (items, take_item (self, photos->pdata[i], changed));
  take_items (self, items);
  for (guint i = 0; i < changed->len; i++)
    g_signal_emit (changed->pdata[i], changed_signal, 0);
}

guint
rake_photo_list_find (RakePhotoList *self, RakeId photo)
{
  for (guint i = 0; i < self->items->len; i++)
    if (rake_id_equal (((RakePhotoItem *) self->items->pdata[i])->photo, photo))
      return i;
  return G_MAXUINT;
}

static void
rake_photo_list_finalize (GObject *object)
{
  RakePhotoList *self = RAKE_PHOTO_LIST (object);

  g_hash_table_unref (self->by_id);
  g_ptr_array_unref (self->items);
  G_OBJECT_CLASS (rake_photo_list_parent_class)->finalize (object);
}

static void
rake_photo_list_class_init (RakePhotoListClass *klass)
{
  G_OBJECT_CLASS (klass)->finalize = rake_photo_list_finalize;
}

static void
rake_photo_list_init (RakePhotoList *self)
{
  self->items = g_ptr_array_new_with_free_func (g_object_unref);
  self->by_id = g_hash_table_new (rake_id_hash_key, rake_id_equal_key);
}

RakePhotoList *
rake_photo_list_new (void)
{
  return g_object_new (RAKE_TYPE_PHOTO_LIST, NULL);
}
