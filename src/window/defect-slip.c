/* defect-slip.c - the whole story of one defect on one slip. */
#include "defect-slip.h"
#include "defect-list.h"
#include "place-map.h"
#include "record-photo.h"
#include "record-row.h"
#include "say.h"
#include "slip-words.h"
#include "wrap-layout.h"

#include "words.h"

#define MAP_HEIGHT_PX 190
#define PHOTO_PX 96

struct _RakeDefectSlip
{
  GtkWidget parent_instance;

  GtkWidget *content, *name, *standing, *buttons, *map, *facts;
};

G_DEFINE_FINAL_TYPE (RakeDefectSlip, rake_defect_slip, GTK_TYPE_WIDGET)

static char *
say_when_and_who (const RakeEntry *entry)
{
  g_autofree char *when = rake_say_when (entry, rake_session_now_ms ());

  return entry->who ? g_strconcat (when, " · ", entry->who, NULL) : g_steal_pointer (&when);
}

/* --- what it was, and what became of it ---------------------------------------------------------- */

static void
show_facts (RakeDefectSlip *self, RakeSession *session, const RakeDefect *defect)
{
  const RakeDefectBody *told = &defect->told->defect;
  g_autofree char *found =
      rake_say_found (rake_session_get_live_job (session), defect, rake_session_now_ms ());
  g_autofree char *place = rake_say_place (defect);
  g_autofree char *size = rake_say_size (defect);
  g_autofree char *cost = rake_say_cost (told->cost, told->currency);
  const RakeEntry *finder = defect->look ? defect->look : defect->entry;

  rake_slip_add_fact (self->facts, C_ ("defect", "Found"), found);
  rake_slip_add_fact (self->facts, C_ ("defect", "By whom"), finder->who);
  rake_slip_add_fact (self->facts, C_ ("defect", "Where"), place);
  rake_slip_add_fact (self->facts, C_ ("defect", "How large"), size);
  rake_slip_add_fact (self->facts, C_ ("defect", "How bad"), told->severity);
  rake_slip_add_fact (self->facts, C_ ("defect", "What it came from"), told->cause);
  rake_slip_add_fact (self->facts, C_ ("defect", "What was done"), told->action);
  rake_slip_add_fact (self->facts, C_ ("defect", "What came of it"), told->outcome);
  rake_slip_add_fact (self->facts, C_ ("defect", "Cost, for the shop alone"), cost);
  if (told->is_for_client == RAKE_ANSWER_NO)
    rake_slip_add_words (self->facts, _ ("Left out of the client's edition."), "soft");
}

static void
show_repairs (RakeDefectSlip *self, const RakeDefect *defect)
{
  g_autoptr (GPtrArray) repairs = rake_defect_list_repairs (defect);

  if (repairs->len > 0)
    rake_slip_add_heading (self->facts, C_ ("defect", "Repairs"));
  for (guint i = 0; i < repairs->len; i++)
    {
      const RakeEntry *repair = repairs->pdata[i];
      g_autofree char *by = say_when_and_who (repair);
      const char *outcome = repair->repair.outcome;
      g_autofree char *detail = outcome ? g_strconcat (by, " · ", outcome, NULL) : g_strdup (by);
      GtkWidget *row = rake_record_row_new (rake_say_repair_method (repair->repair.method), detail);

      rake_picture_show_verdict (rake_record_row_get_picture (RAKE_RECORD_ROW (row)),
                                 RAKE_VERDICT_REPAIR);
      gtk_box_append (GTK_BOX (self->facts), row);
    }
}

static void
show_photos (RakeDefectSlip *self, RakeSession *session, const RakeDefect *defect)
{
  const RakeJob *job = rake_session_get_live_job (session);
  g_autoptr (GPtrArray) photos = NULL;

  if (defect->mark)
    photos = rake_job_list_photos (job, defect->mark->entry->id);
  else if (defect->zone)
    photos = rake_job_list_photos (job, defect->zone->id);
  if (!photos || photos->len == 0)
    return;
  rake_slip_add_heading (self->facts, C_ ("defect", "Photographs"));
  for (guint i = 0; i < photos->len; i++)
    gtk_box_append (GTK_BOX (self->facts),
                    rake_record_photo_new (session, photos->pdata[i], PHOTO_PX));
}

/* --- what was told, one after the other ----------------------------------------------------------- */

static void
add_if_new (GString *text, const char *said, const char *before)
{
  if (said && g_strcmp0 (said, before) != 0)
    g_string_append_printf (text, "%s%s", text->len > 0 ? "\n" : "", said);
}

/* Every telling says all of it again: what is new in it is what a reader wants. */
static char *
say_news (const RakeDefectBody *told, const RakeDefectBody *before)
{
  GString *text = g_string_new (NULL);

  add_if_new (text, told->what, before ? before->what : NULL);
  add_if_new (text, told->severity, before ? before->severity : NULL);
  add_if_new (text, told->cause, before ? before->cause : NULL);
  add_if_new (text, told->action, before ? before->action : NULL);
  add_if_new (text, told->outcome, before ? before->outcome : NULL);
  return g_string_free (text, FALSE);
}

static void
show_story (RakeDefectSlip *self, const RakeDefect *defect)
{
  const RakeDefectBody *before = NULL;

  rake_slip_add_heading (self->facts, C_ ("defect", "As it was told"));
  for (guint i = 0; i < defect->story->len; i++)
    {
      const RakeEntry *entry = defect->story->pdata[i];
      g_autofree char *by = say_when_and_who (entry);
      g_autofree char *title =
          g_strconcat (by, " · ", _ (rake_standing_get_label (entry->defect.standing)), NULL);
      g_autofree char *news = say_news (&entry->defect, before);

      gtk_box_append (GTK_BOX (self->facts), rake_record_row_new (title, news));
      before = &entry->defect;
    }
}

/* --- all of it ----------------------------------------------------------------------------------- */

static void
show_buttons (RakeDefectSlip *self, RakeSession *session, const RakeDefect *defect)
{
  gboolean is_handed_over =
      rake_job_find_hand_over (rake_session_get_live_job (session), NULL) != NULL;

  rake_slip_empty (self->buttons);
  rake_slip_add_button (self->buttons, _ ("_Tell more…"), NULL, "record.tell", defect->id);
  if (defect->zone)
    rake_slip_add_button (self->buttons, _ ("_Show on the bench"), NULL, "record.go", defect->id);
  if (is_handed_over)
    rake_slip_add_button (self->buttons, _ ("A _claim about it…"), NULL, "record.claim",
                          defect->id);
}

static void
show_map (RakeDefectSlip *self, RakeSession *session, const RakeDefect *defect)
{
  RakePlace place = { 0 };
  g_autofree char *words = NULL;

  gtk_widget_set_visible (self->map, defect->face != NULL);
  if (!defect->face)
    {
      rake_place_map_clear (RAKE_PLACE_MAP (self->map));
      return;
    }
  place.face = defect->face->id;
  place.zone = defect->zone ? defect->zone->id : RAKE_ID_NIL;
  place.mark = defect->mark ? defect->mark->entry->id : RAKE_ID_NIL;
  words = rake_say_place (defect);
  rake_place_map_show_now (RAKE_PLACE_MAP (self->map), session, &place, words);
}

void
rake_defect_slip_show (RakeDefectSlip *self, RakeSession *session, RakeId id)
{
  const RakeJob *job = session ? rake_session_get_live_job (session) : NULL;
  g_autoptr (RakeDefect) defect = job ? rake_job_find_defect (job, id) : NULL;

  gtk_widget_set_visible (self->content, defect != NULL);
  rake_slip_empty (self->facts);
  if (!defect)
    {
      rake_place_map_clear (RAKE_PLACE_MAP (self->map));
      return;
    }
  gtk_label_set_label (GTK_LABEL (self->name), defect->what);
  gtk_label_set_label (GTK_LABEL (self->standing),
                       _ (rake_standing_get_label (defect->told->defect.standing)));
  show_buttons (self, session, defect);
  show_map (self, session, defect);
  show_facts (self, session, defect);
  show_repairs (self, defect);
  show_photos (self, session, defect);
  show_story (self, defect);
}

static void
rake_defect_slip_dispose (GObject *object)
{
  gtk_widget_dispose_template (GTK_WIDGET (object), RAKE_TYPE_DEFECT_SLIP);
  G_OBJECT_CLASS (rake_defect_slip_parent_class)->dispose (object);
}

static void
rake_defect_slip_class_init (RakeDefectSlipClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  G_OBJECT_CLASS (klass)->dispose = rake_defect_slip_dispose;
  g_type_ensure (RAKE_TYPE_PLACE_MAP);
  g_type_ensure (RAKE_TYPE_WRAP_LAYOUT);
  gtk_widget_class_set_css_name (widget_class, "defectslip");
  gtk_widget_class_set_accessible_role (widget_class, GTK_ACCESSIBLE_ROLE_GROUP);
  gtk_widget_class_set_template_from_resource (widget_class, RAKE_UI_PATH "defect-slip.ui");
  gtk_widget_class_bind_template_child (widget_class, RakeDefectSlip, content);
  gtk_widget_class_bind_template_child (widget_class, RakeDefectSlip, name);
  gtk_widget_class_bind_template_child (widget_class, RakeDefectSlip, standing);
  gtk_widget_class_bind_template_child (widget_class, RakeDefectSlip, buttons);
  gtk_widget_class_bind_template_child (widget_class, RakeDefectSlip, map);
  gtk_widget_class_bind_template_child (widget_class, RakeDefectSlip, facts);
}

static void
rake_defect_slip_init (RakeDefectSlip *self)
{
  gtk_widget_init_template (GTK_WIDGET (self));
  gtk_widget_set_size_request (self->map, -1, MAP_HEIGHT_PX);
}
