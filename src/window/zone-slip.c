/* zone-slip.c - the selected zone: verdict, why, what clears it, passes, marks. */
#include "zone-slip.h"
#include "film-section.h"
#include "log-window.h"
#include "marks-before.h"
#include "photo-section.h"
#include "picture.h"
#include "say.h"
#include "share-entry.h"
#include "slip-words.h"
#include "verdict-card.h"
#include "zone-record.h"
#include "zones-summary.h"

#include "words.h"

struct _RakeZoneSlip
{
  RakeSessionView parent_instance;

  GtkWidget *scroller, *nothing, *one, *name, *facts, *repair_first, *estimate,
      *acceptable, *repair_later;
  RakeVerdictCard *card;
  RakeMarksBefore *before;
  RakeFilmSection *film;
  RakePhotoSection *photos;
  RakeShareEntry *share;
  RakeZoneRecord *record;
  RakeZonesSummary *several;
  RakeId zone; /* the one shown, nil when it is not one */
};

G_DEFINE_FINAL_TYPE (RakeZoneSlip, rake_zone_slip, RAKE_TYPE_SESSION_VIEW)

/* --- what it offers -------------------------------------------------------------------------- */

static void
say_share (GtkWidget *widget, const char *action, GVariant *parameter)
{
  RakeZoneSlip *self = RAKE_ZONE_SLIP (widget);

  if (rake_share_entry_record (self->share))
    gtk_expander_set_expanded (GTK_EXPANDER (self->estimate), FALSE);
}

static void
show_log (GtkWidget *widget, const char *action, GVariant *parameter)
{
  RakeZoneSlip *self = RAKE_ZONE_SLIP (widget);
  RakeSession *session = rake_session_view_get_session (self);
  GtkRoot *root = gtk_widget_get_root (widget);

  if (session)
    rake_log_window_present (GTK_IS_WINDOW (root) ? GTK_WINDOW (root) : NULL, session, self->zone);
}

static void
select_zone (GtkWidget *widget, const char *action, GVariant *parameter)
{
  RakeSession *session = rake_session_view_get_session (widget);
  RakeId zone;

  if (session && rake_id_from_text (g_variant_get_string (parameter, NULL), &zone))
    rake_session_select_zone (session, zone, FALSE);
}

/* --- what it shows --------------------------------------------------------------------------- */

static char *
say_facts (const RakeZone *zone)
{
  g_autofree char *area = rake_say_area (rake_shape_get_area_mm2 (zone->shape));
  g_autofree char *passes = rake_say_passes (zone);
  const char *lie = zone->is_edge ? C_ ("zone", "edge") : C_ ("zone", "flat");

  if (!passes)
    return g_strconcat (lie, " · ", area, NULL);
  return g_strconcat (lie, " · ", area, " · ", passes, NULL);
}

/* A repair is asked for under the verdict that wants it; else it waits below with the rest. */
static void
show_offers (RakeZoneSlip *self, const RakeJudgement *judgement)
{
  gboolean wants_repair = judgement->verdict == RAKE_VERDICT_REPAIR && !judgement->is_accepted;

  gtk_widget_set_visible (self->repair_first, wants_repair);
  gtk_widget_set_visible (self->repair_later, !wants_repair);
  gtk_widget_set_visible (self->acceptable, judgement->verdict != RAKE_VERDICT_NONE &&
                                                !rake_judgement_is_settled (judgement));
}

static void
show_one (RakeZoneSlip *self, RakeSession *session, const RakeZone *zone)
{
  const RakeJudgement *judgement = rake_session_get_judgement (session, zone);
  g_autofree char *facts = say_facts (zone);

  gtk_label_set_label (GTK_LABEL (self->name), zone->name);
  gtk_label_set_label (GTK_LABEL (self->facts), facts);
  rake_verdict_card_show (self->card, zone, judgement);
  show_offers (self, judgement);
  rake_marks_before_show (self->before, session, zone);
  rake_film_section_show (self->film, session, zone);
  rake_share_entry_show (self->share, session, zone->id);
  rake_photo_section_show (self->photos, session, zone);
  rake_zone_record_show (self->record, session, zone);
}

/* Another zone is read from its top. */
static void
turn_to (RakeZoneSlip *self, RakeId zone)
{
  if (rake_id_equal (self->zone, zone))
    return;
  self->zone = zone;
  gtk_expander_set_expanded (GTK_EXPANDER (self->estimate), FALSE);
  gtk_adjustment_set_value (
      gtk_scrolled_window_get_vadjustment (GTK_SCROLLED_WINDOW (self->scroller)), 0);
}

static void
show_selection (RakeZoneSlip *self)
{
  RakeSession *session = rake_session_view_get_session (self);
  g_autoptr (GPtrArray) zones = session ? rake_session_get_zones (session) : NULL;
  guint n_zones = zones ? zones->len : 0;
  const RakeZone *zone = n_zones == 1 ? zones->pdata[0] : NULL;

  gtk_widget_set_visible (self->nothing, session && n_zones == 0);
  gtk_widget_set_visible (self->one, zone != NULL);
  gtk_widget_set_visible (GTK_WIDGET (self->several), n_zones > 1);
  turn_to (self, zone ? zone->id : RAKE_ID_NIL);
  gtk_widget_action_set_enabled (GTK_WIDGET (self), "slip.say-share",
                                 zone && !rake_session_is_in_the_past (session) &&
                                     !rake_session_is_read_only (session));
  if (zone)
    show_one (self, session, zone);
  else
    rake_film_section_show (self->film, NULL, NULL);
  rake_zones_summary_show (self->several, session, n_zones > 1 ? zones : NULL);
}

static void
rake_zone_slip_show (RakeSessionView *view, RakeShow what)
{
  if (what != RAKE_SHOW_BENCH && what != RAKE_SHOW_THEME)
    show_selection (RAKE_ZONE_SLIP (view));
}

static void
rake_zone_slip_dispose (GObject *object)
{
  gtk_widget_dispose_template (GTK_WIDGET (object), RAKE_TYPE_ZONE_SLIP);
  G_OBJECT_CLASS (rake_zone_slip_parent_class)->dispose (object);
}

static void
bind_children (GtkWidgetClass *widget_class)
{
  gtk_widget_class_bind_template_child (widget_class, RakeZoneSlip, scroller);
  gtk_widget_class_bind_template_child (widget_class, RakeZoneSlip, nothing);
  gtk_widget_class_bind_template_child (widget_class, RakeZoneSlip, one);
  gtk_widget_class_bind_template_child (widget_class, RakeZoneSlip, name);
  gtk_widget_class_bind_template_child (widget_class, RakeZoneSlip, facts);
  gtk_widget_class_bind_template_child (widget_class, RakeZoneSlip, card);
  gtk_widget_class_bind_template_child (widget_class, RakeZoneSlip, repair_first);
  gtk_widget_class_bind_template_child (widget_class, RakeZoneSlip, before);
  gtk_widget_class_bind_template_child (widget_class, RakeZoneSlip, film);
  gtk_widget_class_bind_template_child (widget_class, RakeZoneSlip, estimate);
  gtk_widget_class_bind_template_child (widget_class, RakeZoneSlip, share);
  gtk_widget_class_bind_template_child (widget_class, RakeZoneSlip, photos);
  gtk_widget_class_bind_template_child (widget_class, RakeZoneSlip, record);
  gtk_widget_class_bind_template_child (widget_class, RakeZoneSlip, acceptable);
  gtk_widget_class_bind_template_child (widget_class, RakeZoneSlip, repair_later);
  gtk_widget_class_bind_template_child (widget_class, RakeZoneSlip, several);
}

static void
rake_zone_slip_class_init (RakeZoneSlipClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  G_OBJECT_CLASS (klass)->dispose = rake_zone_slip_dispose;
  RAKE_SESSION_VIEW_CLASS (klass)->show = rake_zone_slip_show;
  g_type_ensure (RAKE_TYPE_FILM_SECTION);
  g_type_ensure (RAKE_TYPE_MARKS_BEFORE);
  g_type_ensure (RAKE_TYPE_PHOTO_SECTION);
  g_type_ensure (RAKE_TYPE_SHARE_ENTRY);
  g_type_ensure (RAKE_TYPE_VERDICT_CARD);
  g_type_ensure (RAKE_TYPE_ZONE_RECORD);
  g_type_ensure (RAKE_TYPE_ZONES_SUMMARY);
  gtk_widget_class_set_css_name (widget_class, "zoneslip");
  gtk_widget_class_set_accessible_role (widget_class, GTK_ACCESSIBLE_ROLE_GROUP);
  gtk_widget_class_set_template_from_resource (widget_class, RAKE_UI_PATH "zone-slip.ui");
  bind_children (widget_class);
  gtk_widget_class_install_action (widget_class, "slip.say-share", NULL, say_share);
  gtk_widget_class_install_action (widget_class, "slip.show-log", NULL, show_log);
  gtk_widget_class_install_action (widget_class, "slip.select-zone", "s", select_zone);
}

static void
rake_zone_slip_init (RakeZoneSlip *self)
{
  gtk_widget_init_template (GTK_WIDGET (self));
  rake_slip_let_wrap (GTK_WIDGET (self));
}
