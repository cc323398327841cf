/* proposals-photos.c - which photographs are read as one: those of a face as it was at one time. */
#include "proposals-private.h"
#include "say.h"

#include <math.h>
#include <stdlib.h>
#include "words.h"

static gboolean
may_be_same (RakeId a, RakeId b)
{
  return rake_id_is_nil (a) || rake_id_is_nil (b) || rake_id_equal (a, b);
}

static gboolean
was_worked_between (const RakeFace *face, gint64 first_ms, gint64 last_ms)
{
  for (guint i = 0; i < face->zones->len; i++)
    {
      const RakeZone *zone = face->zones->pdata[i];

      for (guint k = 0; k < zone->history->len; k++)
        {
          const RakeEntry *entry = zone->history->pdata[k];
          if (entry->kind == RAKE_ENTRY_PASS && entry->happened_ms > first_ms &&
              entry->happened_ms <= last_ms)
            return TRUE;
        }
    }
  return FALSE;
}

static gboolean
can_be_read_with (const RakePhoto *photo, const RakePhoto *other)
{
  const RakePhotoBody *a = &photo->placed->photo, *b = &other->placed->photo;
  gint64 one_ms = photo->entry->happened_ms, other_ms = other->entry->happened_ms;

  return other != photo && other->face == photo->face && other->registration &&
         !other->withdrawal && may_be_same (a->stage, b->stage) && may_be_same (a->pass, b->pass) &&
         !was_worked_between (photo->face, MIN (one_ms, other_ms), MAX (one_ms, other_ms));
}

static int
compare_gaps (gconstpointer a, gconstpointer b, gpointer user_data)
{
  const RakePhoto *photo = user_data;
  gint64 x =
      llabs ((*(const RakePhoto *const *) a)->entry->happened_ms - photo->entry->happened_ms);
  gint64 y =
      llabs ((*(const RakePhoto *const *) b)->entry->happened_ms - photo->entry->happened_ms);

  return (x > y) - (x < y);
}

static int
compare_times (gconstpointer a, gconstpointer b)
{
  gint64 x = (*(const RakePhoto *const *) a)->entry->happened_ms;
  gint64 y = (*(const RakePhoto *const *) b)->entry->happened_ms;

  return (x < y) - (x > y);
}

GPtrArray *
rake_proposals_list_others (RakeProposals *self)
{
  const RakeJob *job = rake_session_get_live_job (self->session);
  const RakePhoto *photo = rake_proposals_find_photo (self);
  GPtrArray *others = g_ptr_array_new ();

  for (guint i = 0; photo && i < rake_job_get_n_photos (job); i++)
    {
      const RakePhoto *other = rake_job_get_photo (job, i);
      if (can_be_read_with (photo, other))
        g_ptr_array_add (others, (gpointer) other);
    }
  g_ptr_array_sort_with_data (others, compare_gaps, (gpointer) photo);
  g_ptr_array_set_size (others, (int) MIN (others->len, RAKE_PHOTO_MAX_TOGETHER - 1));
  g_ptr_array_sort (others, compare_times);
  return others;
}

GPtrArray *
rake_proposals_list_asked (RakeProposals *self, const RakePhoto *photo)
{
  GPtrArray *asked = g_ptr_array_new ();
  g_autoptr (GPtrArray) others = rake_proposals_list_others (self);

  g_ptr_array_add (asked, (gpointer) photo);
  for (guint i = 0; i < others->len; i++)
    {
      const RakePhoto *other = others->pdata[i];
      if (rake_proposals_is_read_with (self, other->id))
        g_ptr_array_add (asked, (gpointer) other);
    }
  return asked;
}

static gboolean
find_left_out (RakeProposals *self, RakeId other, guint *index)
{
  for (*index = 0; *index < self->left_out->len; (*index)++)
    if (rake_id_equal (g_array_index (self->left_out, RakeId, *index), other))
      return TRUE;
  return FALSE;
}

gboolean
rake_proposals_is_read_with (RakeProposals *self, RakeId other)
{
  guint index;

  return !find_left_out (self, other, &index);
}

void
rake_proposals_read_with (RakeProposals *self, RakeId other, gboolean is_read)
{
  guint index;
  gboolean is_left_out = find_left_out (self, other, &index);

  if (is_left_out != is_read)
    return;
  if (is_read)
    g_array_remove_index (self->left_out, index);
  else
    g_array_append_val (self->left_out, other);
  rake_proposals_read_soon (self);
}

/* --- in words --------------------------------------------------------------------------------------- */

char *
rake_proposals_name_photo (const RakePhoto *photo)
{
  const RakePhotoBody *body = &photo->placed->photo;
  g_autofree char *clock = rake_say_when (photo->entry, rake_session_now_ms ());
  g_autofree char *direction = rake_say_direction (body->lamp_deg);
  g_autofree char *lamp = NULL;

  if (isfinite (body->lamp_deg))
    /* Translators: one of a photograph's marks: "lamp at 135°". */
    lamp = g_strdup_printf (C_ ("photograph", "lamp at %s"), direction);
  if (body->view && lamp)
    return g_strjoin (", ", body->view, lamp, clock, NULL);
  return g_strjoin (", ",
                    body->view ? body->view
                    : lamp     ? lamp
                               : clock,
                    body->view || lamp ? clock : NULL, NULL);
}

char *
rake_proposals_say_why (RakeProposals *self, guint showing, const char *why)
{
  const RakeJob *job = rake_session_get_live_job (self->session);
  g_autoptr (GPtrArray) names = g_ptr_array_new_with_free_func (g_free);
  g_autofree char *all = NULL;

  if (showing == (1u << self->read->len) - 1)
    return g_strdup (why);
  for (guint i = 0; i < self->read->len; i++)
    {
      const RakePhoto *photo = rake_job_find_photo (job, g_array_index (self->read, RakeId, i));
      if (photo && (showing >> i & 1) != 0)
        g_ptr_array_add (names, rake_proposals_name_photo (photo));
    }
  g_ptr_array_add (names, NULL);
  all = g_strjoinv ("; ", (char **) names->pdata);
  /* Translators: why a place is proposed, then those of several photographs that show it, by view, lamp
   * and time. */
  return g_strdup_printf (_ ("%s. Only seen in: %s"), why, all);
}
