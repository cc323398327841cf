/* proposals-page.c - see proposals-page.h. A row is proposals-row.c, the picture proposals-draw.c. */
#include "proposals-page.h"

#include "photo-view.h"
#include "proposals-draw.h"
#include "proposals-row.h"
#include "proposals-together.h"
#include "say.h"

#include <math.h>
#include "words.h"

/* A finger's half, which a tap may be beside. */
#define REACH_PX 22.0

struct _RakeProposalsPage
{
  RakeSessionView parent_instance;

  GtkWidget *content, *photo, *pointed_name, *pointed_why, *status, *progress_box, *progress;
  GtkWidget *sensitivity, *together, *together_box, *zones, *list, *enter, *look;
  RakeProposals *proposals; /* of the session; NULL without one */
  RakePhotoMap *map;        /* of the photograph */
  RakeProposal *pointed;    /* the one that was tapped, or has the focus */
};

G_DEFINE_FINAL_TYPE (RakeProposalsPage, rake_proposals_page, RAKE_TYPE_SESSION_VIEW)

/* --- what is pointed at ------------------------------------------------------------------------------ */

static void
show_pointed (RakeProposalsPage *self)
{
  g_autofree char *name = NULL;

  if (self->pointed)
    name = g_strdup_printf (rake_proposal_is_taken (self->pointed) ? C_ ("proposal", "%s: taken")
                                                                   : C_ ("proposal", "%s: left"),
                            rake_proposal_get_name (self->pointed));
  gtk_label_set_label (GTK_LABEL (self->pointed_name),
                       name ? name : _ ("Tap what is drawn to take it or leave it."));
  gtk_label_set_label (GTK_LABEL (self->pointed_why),
                       self->pointed ? rake_proposal_get_why (self->pointed) : "");
  rake_photo_view_queue_overlays (RAKE_PHOTO_VIEW (self->photo));
}

static void
point (RakeProposal *proposal, gpointer user_data)
{
  RakeProposalsPage *self = user_data;

  g_set_object (&self->pointed, proposal);
  show_pointed (self);
}

/* Scrolls the list to it, so that both show the same. */
static void
scroll_to (RakeProposalsPage *self, RakeProposal *proposal)
{
  GListModel *list = rake_proposals_get_list (self->proposals);

  for (guint i = 0; i < g_list_model_get_n_items (list); i++)
    {
      g_autoptr (RakeProposal) other = g_list_model_get_item (list, i);
      if (other == proposal)
        gtk_widget_activate_action (self->list, "list.scroll-to-item", "u", i);
    }
}

static void
on_photo_tapped (RakeProposalsPage *self, double x_px, double y_px)
{
  double x, y, beside_x, beside_y, reach_px;
  RakeProposal *proposal;

  if (!self->map || !rake_photo_map_to_face (self->map, x_px, y_px, &x, &y))
    return;
  reach_px = REACH_PX / fmax (rake_flat_view_get_scale (self->photo), 1e-6);
  if (!rake_photo_map_to_face (self->map, x_px + reach_px, y_px, &beside_x, &beside_y))
    return;
  proposal = rake_proposals_find_at (self->proposals, x, y, hypot (beside_x - x, beside_y - y));
  if (!proposal)
    return;
  rake_proposals_take (self->proposals, proposal, !rake_proposal_is_taken (proposal));
  point (proposal, self);
  scroll_to (self, proposal);
}

static void
draw_proposals (GtkSnapshot *snapshot, RakePhotoView *view, gpointer data)
{
  RakeProposalsPage *self = data;

  if (self->proposals && self->map)
    rake_proposals_draw (snapshot, view, self->proposals, self->map, self->pointed);
}

/* --- zones ---------------------------------------------------------------------------------------------- */

static const char *
say_regime (RakePhotoRegime regime)
{
  switch (regime)
    {
    case RAKE_PHOTO_REGIME_AWAY:
      return _ ("gloss looks dark here");
    case RAKE_PHOTO_REGIME_MIRROR:
      return _ ("gloss glints here");
    case RAKE_PHOTO_REGIME_MIXED:
      return _ ("gloss looks dark in one part and glints in another");
    case RAKE_PHOTO_REGIME_UNKNOWN:
    default:
      return _ ("how gloss looks here is not known");
    }
}

static char *
say_zone (const RakePhotoZone *zone)
{
  g_autofree char *share = NULL, *sure = NULL;

  if (zone->obstacle != RAKE_PHOTO_READABLE)
    /* Translators: a zone that the photograph cannot be read in, and what would help. */
    return g_strdup_printf (_ ("Not read. %s."), zone->advice);
  share = rake_say_low_share (zone->glossy_fraction);
  sure = rake_say_share (zone->confidence);
  /* Translators: "12 % glossy; gloss looks dark here (86 % sure)". */
  return g_strdup_printf (_ ("%s glossy; %s (%s sure)"), share, say_regime (zone->regime), sure);
}

static void
append_text (GtkWidget *box, const char *text, const char *style)
{
  GtkWidget *label = gtk_label_new (text);

  gtk_label_set_xalign (GTK_LABEL (label), 0);
  gtk_label_set_wrap (GTK_LABEL (label), TRUE);
  gtk_label_set_wrap_mode (GTK_LABEL (label), PANGO_WRAP_WORD_CHAR);
  gtk_widget_add_css_class (label, style);
  gtk_box_append (GTK_BOX (box), label);
}

static void
show_zones (RakeProposalsPage *self)
{
  const RakePhotoReading *reading = rake_proposals_get_reading (self->proposals);
  GtkWidget *child;

  while ((child = gtk_widget_get_first_child (self->zones)))
    gtk_box_remove (GTK_BOX (self->zones), child);
  for (guint i = 0; reading && i < reading->n_zones; i++)
    {
      const RakeZone *zone = rake_proposals_get_zone (self->proposals, i);
      g_autofree char *text = say_zone (&reading->zones[i]);

      if (!zone)
        continue;
      append_text (self->zones, zone->name, "proposal-name");
      append_text (self->zones, text, "soft");
      if (rake_proposals_is_stale (self->proposals, zone))
        append_text (
            self->zones,
            _ ("Worked since the photograph was taken: what is entered here is of before."),
            "verdict-look-again");
    }
}

/* --- all of it ------------------------------------------------------------------------------------------ */

static char *
say_status (RakeProposalsPage *self)
{
  guint n = g_list_model_get_n_items (rake_proposals_get_list (self->proposals));
  const char *sentence = rake_proposals_get_sentence (self->proposals);

  if (sentence)
    return g_strdup (sentence);
  if (rake_proposals_get_state (self->proposals) == RAKE_PROPOSALS_READING)
    return g_strdup (_ ("The photograph is being read."));
  if (n == 0)
    return g_strdup (
        _ ("No low spot and no scratch is proposed. That is no proof of an even face."));
  return g_strdup_printf (ngettext ("%u place is proposed. Only what you take is entered.",
                                    "%u places are proposed. Only what you take is entered.", n),
                          n);
}

/* What the look will say that is entered with the marks. */
static char *
say_look (RakeProposalsPage *self)
{
  const RakePhoto *photo =
      rake_job_find_photo (rake_session_get_live_job (rake_session_view_get_session (self)),
                           rake_proposals_get_photo (self->proposals));
  g_autofree char *when = NULL, *lamp = NULL;

  if (!photo)
    return g_strdup ("");
  when = rake_say_when (photo->entry, rake_session_now_ms ());
  if (isnan (photo->placed->photo.lamp_deg))
    return g_strdup_printf (_ ("Entered as seen %s: dry, under a lamp whose place is not said."),
                            when);
  lamp = rake_say_direction (photo->placed->photo.lamp_deg);
  return g_strdup_printf (_ ("Entered as seen %s: dry, lamp at %s."), when, lamp);
}

static void
show_taken (RakeProposalsPage *self)
{
  guint n = rake_proposals_count_taken (self->proposals);
  guint n_all = g_list_model_get_n_items (rake_proposals_get_list (self->proposals));
  gboolean is_reading = rake_proposals_get_state (self->proposals) == RAKE_PROPOSALS_READING;
  g_autofree char *words = n > 1    ? g_strdup_printf (_ ("Enter These %u"), n)
                           : n == 1 ? g_strdup (_ ("Enter This One"))
                                    : g_strdup (_ ("Enter These"));

  gtk_button_set_label (GTK_BUTTON (self->enter), words);
  gtk_widget_action_set_enabled (GTK_WIDGET (self), "proposals.enter", n > 0 && !is_reading);
  gtk_widget_action_set_enabled (GTK_WIDGET (self), "proposals.take-all", n < n_all);
  gtk_widget_action_set_enabled (GTK_WIDGET (self), "proposals.take-none", n > 0);
  show_pointed (self);
}

static void
show_progress (RakeProposalsPage *self)
{
  gtk_progress_bar_set_fraction (GTK_PROGRESS_BAR (self->progress),
                                 rake_proposals_get_progress (self->proposals));
}

/* What was pointed at is gone with the reading it was of. */
static void
show_all (RakeProposalsPage *self)
{
  g_autofree char *status = say_status (self), *look = say_look (self);

  g_clear_object (&self->pointed);
  gtk_label_set_label (GTK_LABEL (self->status), status);
  gtk_label_set_label (GTK_LABEL (self->look), look);
  gtk_widget_set_visible (self->progress_box,
                          rake_proposals_get_state (self->proposals) == RAKE_PROPOSALS_READING);
  rake_proposals_together_show (GTK_MENU_BUTTON (self->together), self->proposals);
  show_progress (self);
  show_zones (self);
  show_taken (self);
}

static void
take_session (RakeProposalsPage *self)
{
  RakeSession *session = rake_session_view_get_session (self);
  g_autoptr (GtkListItemFactory) factory = NULL;
  g_autoptr (GtkSelectionModel) model = NULL;

  gtk_list_view_set_model (GTK_LIST_VIEW (self->list), NULL);
  gtk_list_view_set_factory (GTK_LIST_VIEW (self->list), NULL);
  rake_photo_view_set_photo (RAKE_PHOTO_VIEW (self->photo), NULL, RAKE_ID_NIL);
  if (self->proposals)
    g_signal_handlers_disconnect_by_data (self->proposals, self);
  rake_proposals_together_show (GTK_MENU_BUTTON (self->together), NULL);
  g_clear_object (&self->proposals);
  g_clear_object (&self->pointed);
  g_clear_pointer (&self->map, rake_photo_map_free);
  if (!session)
    return;
  self->proposals = rake_proposals_new (session);
  g_signal_connect_swapped (self->proposals, "changed", G_CALLBACK (show_all), self);
  g_signal_connect_swapped (self->proposals, "taken", G_CALLBACK (show_taken), self);
  g_signal_connect_swapped (self->proposals, "progress", G_CALLBACK (show_progress), self);
  factory = rake_proposals_row_factory_new (self->proposals, point, self);
  model = GTK_SELECTION_MODEL (
      gtk_no_selection_new (g_object_ref (rake_proposals_get_list (self->proposals))));
  gtk_list_view_set_factory (GTK_LIST_VIEW (self->list), factory);
  gtk_list_view_set_model (GTK_LIST_VIEW (self->list), model);
  gtk_range_set_value (GTK_RANGE (self->sensitivity),
                       rake_proposals_get_sensitivity (self->proposals));
}

void
rake_proposals_page_read (RakeProposalsPage *self, RakeId id)
{
  RakeSession *session = rake_session_view_get_session (self);
  const RakePhoto *photo;

  g_return_if_fail (session != NULL);
  photo = rake_job_find_photo (rake_session_get_live_job (session), id);
  g_return_if_fail (photo != NULL);
  g_clear_pointer (&self->map, rake_photo_map_free);
  self->map = rake_photo_map_new_for_photo (photo);
  rake_photo_view_set_photo (RAKE_PHOTO_VIEW (self->photo), session, id);
  if (photo->face)
    rake_session_select_face (session, photo->face->id);
  rake_proposals_read (self->proposals, id);
}

static void
on_sensitivity (RakeProposalsPage *self)
{
  if (self->proposals)
    rake_proposals_set_sensitivity (
        self->proposals, CLAMP (gtk_range_get_value (GTK_RANGE (self->sensitivity)), 0, 1));
}

/* --- actions --------------------------------------------------------------------------------------------- */

static void
take_all (GtkWidget *widget, const char *action, GVariant *parameter)
{
  rake_proposals_take_all (RAKE_PROPOSALS_PAGE (widget)->proposals, TRUE);
}

static void
take_none (GtkWidget *widget, const char *action, GVariant *parameter)
{
  rake_proposals_take_all (RAKE_PROPOSALS_PAGE (widget)->proposals, FALSE);
}

static void
stop (GtkWidget *widget, const char *action, GVariant *parameter)
{
  rake_proposals_cancel (RAKE_PROPOSALS_PAGE (widget)->proposals);
}

static void
enter (GtkWidget *widget, const char *action, GVariant *parameter)
{
  RakeProposalsPage *self = RAKE_PROPOSALS_PAGE (widget);
  RakeSession *session = rake_session_view_get_session (self);
  const RakePhoto *photo;

  if (!rake_proposals_enter (self->proposals))
    return;
  /* Entered twice they would be there twice. */
  rake_proposals_take_all (self->proposals, FALSE);
  photo = rake_job_find_photo (rake_session_get_live_job (session),
                               rake_proposals_get_photo (self->proposals));
  if (photo && photo->face)
    rake_session_select_face (session, photo->face->id);
  gtk_widget_activate_action (widget, "win.show-bench", NULL);
}

/* Another window or another program may have withdrawn the photograph. */
static void
show_job (RakeProposalsPage *self)
{
  if (rake_proposals_let_go (self->proposals))
    {
      g_clear_pointer (&self->map, rake_photo_map_free);
      rake_photo_view_set_photo (RAKE_PHOTO_VIEW (self->photo), NULL, RAKE_ID_NIL);
    }
  show_zones (self);
}

/* --- class ------------------------------------------------------------------------------------------------ */

static void
rake_proposals_page_show (RakeSessionView *view, RakeShow what)
{
  RakeProposalsPage *self = RAKE_PROPOSALS_PAGE (view);

  if (what == RAKE_SHOW_SESSION)
    take_session (self);
  else if (what == RAKE_SHOW_JOB && self->proposals && gtk_widget_get_mapped (GTK_WIDGET (self)))
    show_job (self);
}

/* What was withdrawn while another page was shown. */
static void
rake_proposals_page_map (GtkWidget *widget)
{
  RakeProposalsPage *self = RAKE_PROPOSALS_PAGE (widget);

  GTK_WIDGET_CLASS (rake_proposals_page_parent_class)->map (widget);
  if (self->proposals)
    show_job (self);
}

/* Nobody waits for it any more. */
static void
rake_proposals_page_unmap (GtkWidget *widget)
{
  RakeProposalsPage *self = RAKE_PROPOSALS_PAGE (widget);

  if (self->proposals)
    rake_proposals_cancel (self->proposals);
  GTK_WIDGET_CLASS (rake_proposals_page_parent_class)->unmap (widget);
}

static void
rake_proposals_page_dispose (GObject *object)
{
  RakeProposalsPage *self = RAKE_PROPOSALS_PAGE (object);

  if (self->proposals)
    g_signal_handlers_disconnect_by_data (self->proposals, self);
  if (self->list)
    gtk_list_view_set_model (GTK_LIST_VIEW (self->list), NULL);
  g_clear_object (&self->pointed);
  g_clear_pointer (&self->map, rake_photo_map_free);
  gtk_widget_dispose_template (GTK_WIDGET (object), RAKE_TYPE_PROPOSALS_PAGE);
  g_clear_object (&self->proposals);
  G_OBJECT_CLASS (rake_proposals_page_parent_class)->dispose (object);
}

static void
bind_children (GtkWidgetClass *widget_class)
{
  gtk_widget_class_bind_template_child (widget_class, RakeProposalsPage, content);
  gtk_widget_class_bind_template_child (widget_class, RakeProposalsPage, photo);
  gtk_widget_class_bind_template_child (widget_class, RakeProposalsPage, pointed_name);
  gtk_widget_class_bind_template_child (widget_class, RakeProposalsPage, pointed_why);
  gtk_widget_class_bind_template_child (widget_class, RakeProposalsPage, status);
  gtk_widget_class_bind_template_child (widget_class, RakeProposalsPage, progress_box);
  gtk_widget_class_bind_template_child (widget_class, RakeProposalsPage, progress);
  gtk_widget_class_bind_template_child (widget_class, RakeProposalsPage, sensitivity);
  gtk_widget_class_bind_template_child (widget_class, RakeProposalsPage, together);
  gtk_widget_class_bind_template_child (widget_class, RakeProposalsPage, together_box);
  gtk_widget_class_bind_template_child (widget_class, RakeProposalsPage, zones);
  gtk_widget_class_bind_template_child (widget_class, RakeProposalsPage, list);
  gtk_widget_class_bind_template_child (widget_class, RakeProposalsPage, enter);
  gtk_widget_class_bind_template_child (widget_class, RakeProposalsPage, look);
}

static void
rake_proposals_page_class_init (RakeProposalsPageClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  G_OBJECT_CLASS (klass)->dispose = rake_proposals_page_dispose;
  widget_class->map = rake_proposals_page_map;
  widget_class->unmap = rake_proposals_page_unmap;
  RAKE_SESSION_VIEW_CLASS (klass)->show = rake_proposals_page_show;
  g_type_ensure (RAKE_TYPE_PHOTO_VIEW);
  gtk_widget_class_set_css_name (widget_class, "proposalspage");
  gtk_widget_class_set_template_from_resource (widget_class, RAKE_UI_PATH "proposals-page.ui");
  bind_children (widget_class);
  gtk_widget_class_bind_template_callback (widget_class, on_sensitivity);
  gtk_widget_class_bind_template_callback (widget_class, on_photo_tapped);
  gtk_widget_class_install_action (widget_class, "proposals.take-all", NULL, take_all);
  gtk_widget_class_install_action (widget_class, "proposals.take-none", NULL, take_none);
  gtk_widget_class_install_action (widget_class, "proposals.enter", NULL, enter);
  gtk_widget_class_install_action (widget_class, "proposals.stop", NULL, stop);
  gtk_widget_class_add_binding_action (widget_class, GDK_KEY_Return, GDK_CONTROL_MASK,
                                       "proposals.enter", NULL);
  gtk_widget_class_add_binding_action (widget_class, GDK_KEY_a, GDK_CONTROL_MASK,
                                       "proposals.take-all", NULL);
  gtk_widget_class_add_binding_action (widget_class, GDK_KEY_a, GDK_CONTROL_MASK | GDK_SHIFT_MASK,
                                       "proposals.take-none", NULL);
}

static void
rake_proposals_page_init (RakeProposalsPage *self)
{
  gtk_widget_init_template (GTK_WIDGET (self));
  rake_proposals_together_set_up (GTK_MENU_BUTTON (self->together), GTK_BOX (self->together_box));
  rake_photo_view_add_overlay (RAKE_PHOTO_VIEW (self->photo), draw_proposals, self);
}
