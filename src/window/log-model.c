/* log-model.c - the entries of a logbook as a list. */
#include "log-model.h"
#include "say.h"

#include "words.h"

/* --- what concerns a zone -------------------------------------------------------------------- */

static gboolean
holds_id (GArray *ids, RakeId id)
{
  for (guint i = 0; ids && i < ids->len; i++)
    if (rake_id_equal (g_array_index (ids, RakeId, i), id))
      return TRUE;
  return FALSE;
}

static gboolean
adds_zone (const RakeZonesBody *zones, RakeId zone)
{
  for (guint i = 0; zones->added && i < zones->added->len; i++)
    if (rake_id_equal (g_array_index (zones->added, RakeZoneSpec, i).id, zone))
      return TRUE;
  return holds_id (zones->removed, zone);
}

/* Marks, revisits and states name their look, a strike what it struck: one more step. */
static gboolean
leads_to_zone (const RakeJob *job, RakeId entry_id, RakeId zone)
{
  const RakeEntry *entry = rake_job_find_entry (job, entry_id);

  return entry && rake_log_concerns_zone (job, entry, zone);
}

static gboolean
is_in_history (const RakeJob *job, const RakeEntry *entry, RakeId zone_id)
{
  const RakeZone *zone = rake_job_find_zone (job, zone_id);

  return zone && g_ptr_array_find (zone->history, entry, NULL);
}

static gboolean
names_zone (const RakeJob *job, const RakeEntry *entry, RakeId zone)
{
  switch (entry->kind)
    {
    case RAKE_ENTRY_ZONES:
      return adds_zone (&entry->zones, zone);
    case RAKE_ENTRY_ZONE_FACTS:
      return rake_id_equal (entry->zone_facts.zone, zone);
    case RAKE_ENTRY_PASS:
      return holds_id (entry->pass.zones, zone);
    case RAKE_ENTRY_LOOK:
      return rake_id_equal (entry->look.zone, zone);
    case RAKE_ENTRY_MARK:
      return leads_to_zone (job, entry->mark.look, zone);
    case RAKE_ENTRY_REVISIT:
      return leads_to_zone (job, entry->revisit.look, zone);
    case RAKE_ENTRY_STATE:
      return leads_to_zone (job, entry->state.look, zone);
    case RAKE_ENTRY_ACCEPTANCE:
      return rake_id_equal (entry->acceptance.zone, zone);
    case RAKE_ENTRY_NOTE:
      return rake_id_equal (entry->note.about, zone) ||
             (!rake_id_is_nil (entry->note.about) && leads_to_zone (job, entry->note.about, zone));
    case RAKE_ENTRY_STRIKE:
      return leads_to_zone (job, entry->strike.entry, zone);
    case RAKE_ENTRY_READING:
      return rake_id_equal (entry->reading.zone, zone);
    case RAKE_ENTRY_REPAIR:
      return rake_id_equal (entry->repair.zone, zone);
    default:
      return FALSE;
    }
}

gboolean
rake_log_concerns_zone (const RakeJob *job, const RakeEntry *entry, RakeId zone)
{
  /* The history knows what a zone inherited; the names know what was struck out. */
  return names_zone (job, entry, zone) || is_in_history (job, entry, zone);
}

/* --- a line ---------------------------------------------------------------------------------- */

struct _RakeLogItem
{
  GObject parent_instance;

  RakeEntry *entry;
  char *text, *detail, *strike;
};

G_DEFINE_FINAL_TYPE (RakeLogItem, rake_log_item, G_TYPE_OBJECT)

const RakeEntry *
rake_log_item_get_entry (RakeLogItem *self)
{
  return self->entry;
}

const char *
rake_log_item_get_text (RakeLogItem *self)
{
  return self->text;
}

const char *
rake_log_item_get_detail (RakeLogItem *self)
{
  return self->detail;
}

const char *
rake_log_item_get_strike (RakeLogItem *self)
{
  return self->strike;
}

gboolean
rake_log_item_can_strike (RakeLogItem *self)
{
  return !self->strike && self->entry->kind != RAKE_ENTRY_STRIKE;
}

static char *
say_strike (const RakeEntry *strike)
{
  if (strike->strike.why != RAKE_STRIKE_CORRECTION)
    return g_strdup (_ ("Undone"));
  return g_strdup_printf (_ ("Struck out: %s"), strike->strike.reason ? strike->strike.reason : "");
}

static char *
say_detail (const RakeJob *job, const RakeEntry *entry)
{
  g_autofree char *day = rake_say_day (entry);
  g_autofree char *clock = rake_say_clock (entry);
  g_autofree char *detail = entry->who ? g_strdup_printf ("%s %s · %s", day, clock, entry->who)
                                       : g_strdup_printf ("%s %s", day, clock);

  if (!rake_job_is_void (job, entry->id))
    return g_steal_pointer (&detail);
  /* Translators: a line of the logbook whose subject is gone; when it was written, and by whom. */
  return g_strdup_printf (_ ("Void · %s"), detail);
}

/* @strike is NULL while the entry stands. */
static RakeLogItem *
new_item (const RakeJob *job, RakeEntry *entry, const RakeEntry *strike)
{
  RakeLogItem *self = g_object_new (RAKE_TYPE_LOG_ITEM, NULL);

  self->entry = rake_entry_ref (entry);
  self->text = rake_job_describe_entry (job, entry);
  self->detail = say_detail (job, entry);
  self->strike = strike ? say_strike (strike) : NULL;
  return self;
}

static void
rake_log_item_finalize (GObject *object)
{
  RakeLogItem *self = RAKE_LOG_ITEM (object);

  rake_entry_unref (self->entry);
  g_free (self->text);
  g_free (self->detail);
  g_free (self->strike);
  G_OBJECT_CLASS (rake_log_item_parent_class)->finalize (object);
}

static void
rake_log_item_class_init (RakeLogItemClass *klass)
{
  G_OBJECT_CLASS (klass)->finalize = rake_log_item_finalize;
}

static void
rake_log_item_init (RakeLogItem *self)
{
}

/* --- the list -------------------------------------------------------------------------------- */

typedef struct
{
  RakeEntry *entry;
  RakeEntry *strike; /* what struck it out; NULL while it stands */
  gboolean is_void;
} Line;

struct _RakeLogModel
{
  GObject parent_instance;

  const RakeJob *job;
  GArray *lines; /* Line, newest first, each with its references */
};

static void rake_log_model_list_init (GListModelInterface *interface);

G_DEFINE_FINAL_TYPE_WITH_CODE (RakeLogModel, rake_log_model, G_TYPE_OBJECT,
                               G_IMPLEMENT_INTERFACE (G_TYPE_LIST_MODEL, rake_log_model_list_init))

static void
clear_line (gpointer data)
{
  Line *line = data;

  g_clear_pointer (&line->entry, rake_entry_unref);
  g_clear_pointer (&line->strike, rake_entry_unref);
}

static GArray *
new_lines (void)
{
  GArray *lines = g_array_new (FALSE, FALSE, sizeof (Line));

  g_array_set_clear_func (lines, clear_line);
  return lines;
}

/* From an entry's id to the strike that holds; the latest where several were tried. */
static GHashTable *
collect_strikes (const RakeJob *job)
{
  GHashTable *strikes = g_hash_table_new (rake_id_hash_key, rake_id_equal_key);

  for (guint i = 0; i < rake_job_get_n_entries (job); i++)
    {
      RakeEntry *entry = rake_job_get_entry (job, i);

      if (entry->kind == RAKE_ENTRY_STRIKE && !rake_job_is_struck (job, entry->id))
        g_hash_table_insert (strikes, &entry->strike.entry, entry);
    }
  return strikes;
}

static GArray *
collect_lines (const RakeJob *job, RakeId zone)
{
  g_autoptr (GHashTable) strikes = collect_strikes (job);
  GArray *lines = new_lines ();

  for (guint i = rake_job_get_n_entries (job); i-- > 0;)
    {
      RakeEntry *entry = rake_job_get_entry (job, i);
      RakeEntry *strike = g_hash_table_lookup (strikes, &entry->id);
      Line line = { entry, strike, rake_job_is_void (job, entry->id) };

      if (!rake_id_is_nil (zone) && !rake_log_concerns_zone (job, entry, zone))
        continue;
      rake_entry_ref (entry);
      if (strike)
        rake_entry_ref (strike);
      g_array_append_val (lines, line);
    }
  return lines;
}

static gboolean
is_same (GArray *a, guint a_index, GArray *b, guint b_index)
{
  const Line *one = &g_array_index (a, Line, a_index), *other = &g_array_index (b, Line, b_index);

  return one->entry == other->entry && one->strike == other->strike &&
         one->is_void == other->is_void;
}

void
rake_log_model_show (RakeLogModel *self, const RakeJob *job, RakeId zone)
{
  GArray *lines = job ? collect_lines (job, zone) : new_lines ();
  g_autoptr (GArray) gone = g_steal_pointer (&self->lines);
  guint before = 0, after = 0, least = MIN (lines->len, gone->len);

  self->job = job;
  self->lines = lines;
  while (before < least && is_same (gone, before, lines, before))
    before++;
  while (after < least - before &&
         is_same (gone, gone->len - 1 - after, lines, lines->len - 1 - after))
    after++;
  if (gone->len != before + after || lines->len != before + after)
    g_list_model_items_changed (G_LIST_MODEL (self), before, gone->len - before - after,
                                lines->len - before - after);
}

static GType
get_item_type (GListModel *model)
{
  return RAKE_TYPE_LOG_ITEM;
}

static guint
get_n_items (GListModel *model)
{
  return RAKE_LOG_MODEL (model)->lines->len;
}

static gpointer
get_item (GListModel *model, guint position)
{
  RakeLogModel *self = RAKE_LOG_MODEL (model);
  const Line *line;

  if (position >= self->lines->len)
    return NULL;
  line = &g_array_index (self->lines, Line, position);
  return new_item (self->job, line->entry, line->strike);
}

static void
rake_log_model_list_init (GListModelInterface *interface)
{
  interface->get_item_type = get_item_type;
  interface->get_n_items = get_n_items;
  interface->get_item = get_item;
}

RakeLogModel *
rake_log_model_new (void)
{
  return g_object_new (RAKE_TYPE_LOG_MODEL, NULL);
}

static void
rake_log_model_finalize (GObject *object)
{
  g_array_unref (RAKE_LOG_MODEL (object)->lines);
  G_OBJECT_CLASS (rake_log_model_parent_class)->finalize (object);
}

static void
rake_log_model_class_init (RakeLogModelClass *klass)
{
  G_OBJECT_CLASS (klass)->finalize = rake_log_model_finalize;
}

static void
rake_log_model_init (RakeLogModel *self)
{
  self->lines = new_lines ();
}
