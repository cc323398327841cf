/* claim-slip.c - one claim, then and now. */
#include "claim-slip.h"
#include "defect-list.h"
#include "place-map.h"
#include "record-photo.h"
#include "record-row.h"
#include "say.h"
#include "slip-words.h"
#include "wrap-layout.h"

#include <math.h>
#include "words.h"

#define MAP_HEIGHT_PX 200
#define PHOTO_PX 160

struct _RakeClaimSlip
{
  GtkWidget parent_instance;

  GtkWidget *content, *complaint, *decision, *buttons, *facts, *side_by_side, *story;
  GtkWidget *then_heading, *then, *then_facts, *now_heading, *now, *now_facts;
};

G_DEFINE_FINAL_TYPE (RakeClaimSlip, rake_claim_slip, GTK_TYPE_WIDGET)

static char *
say_when_and_who (const RakeEntry *entry)
{
  g_autofree char *when = rake_say_when (entry, rake_session_now_ms ());

  return entry->who ? g_strconcat (when, " · ", entry->who, NULL) : g_steal_pointer (&when);
}

/* --- what is said ---------------------------------------------------------------------------------- */

static char *
say_about (const RakeJob *job, const RakeClaim *claim)
{
  g_autoptr (RakeDefect) defect = rake_job_find_defect (job, claim->defect);
  g_autofree char *mark = claim->mark ? rake_say_mark (claim->mark) : NULL;
  const char *face = claim->face ? claim->face->name : NULL;

  if (defect && claim->zone)
    return g_strdup_printf (C_ ("mark, zone", "%s, %s"), defect->what, claim->zone->name);
  if (mark && claim->zone)
    return g_strdup_printf (C_ ("mark, zone", "%s, %s"), mark, claim->zone->name);
  if (claim->zone && face)
    return g_strdup_printf (C_ ("place", "%s, %s"), face, claim->zone->name);
  return g_strdup (face ? face : _ ("The whole piece"));
}

static void
show_facts (RakeClaimSlip *self, const RakeClaim *claim)
{
  const RakeClaimBody *told = &claim->told->claim;
  g_autofree char *when = say_when_and_who (claim->entry);
  g_autofree char *cost = rake_say_cost (told->cost, told->currency);

  rake_slip_empty (self->facts);
  rake_slip_add_fact (self->facts, C_ ("claim", "Made"), when);
  rake_slip_add_fact (self->facts, C_ ("claim", "What was found"), told->finding);
  rake_slip_add_fact (self->facts, C_ ("claim", "What was done"), told->action);
  rake_slip_add_fact (self->facts, C_ ("claim", "Cost, for the shop alone"), cost);
}

static void
show_story (RakeClaimSlip *self, const RakeClaim *claim)
{
  rake_slip_empty (self->story);
  rake_slip_add_heading (self->story, C_ ("claim", "As it was told"));
  for (guint i = 0; i < claim->story->len; i++)
    {
      const RakeEntry *entry = claim->story->pdata[i];
      g_autofree char *by = say_when_and_who (entry);
      g_autofree char *title =
          g_strconcat (by, " · ", _ (rake_decision_get_label (entry->claim.decision)), NULL);

      gtk_box_append (GTK_BOX (self->story),
                      rake_record_row_new (title, entry->claim.finding ? entry->claim.finding
                                                                       : entry->claim.complaint));
    }
}

/* --- then and now ---------------------------------------------------------------------------------- */

/* What the record says of the place in one of its two states. */
typedef struct
{
  RakeSession *session;
  const RakeJob *job;
  RakeRules *rules;
  RakeId face, zone;
  gint64 at_ms;
  guint from_entry, to_entry; /* photographs of these are shown */
} State;

static void
add_zone (GtkWidget *box, const State *state, const RakeZone *zone)
{
  g_autoptr (RakeJudgement) judgement =
      rake_rules_judge (state->rules, state->job, zone, state->at_ms);
  g_autoptr (GString) open = g_string_new (NULL);
  guint n_repaired = 0;
  g_autofree char *repaired = NULL;

  for (guint i = 0; i < zone->marks->len; i++)
    {
      const RakeMark *mark = zone->marks->pdata[i];
      g_autofree char *words = mark->closed_by ? NULL : rake_say_mark (mark);

      n_repaired += mark->was_repaired ? 1 : 0;
      if (words)
        g_string_append_printf (open, "%s%s", open->len > 0 ? "\n" : "", words);
    }
  repaired = n_repaired > 0 ? g_strdup_printf ("%u", n_repaired) : NULL;
  rake_slip_add_fact (box, C_ ("claim", "Verdict"), rake_say_verdict (judgement->verdict));
  if (judgement->acceptance)
    rake_slip_add_fact (box, C_ ("claim", "Accepted, because"),
                        judgement->acceptance->acceptance.reason);
  rake_slip_add_fact (box, C_ ("claim", "Marks that were open"),
                      open->len > 0 ? open->str : _ ("none"));
  rake_slip_add_fact (box, C_ ("claim", "Places repaired"), repaired);
}

static void
add_defects (GtkWidget *box, const State *state, const RakeZone *zone)
{
  g_autoptr (GPtrArray) defects = rake_defects_list_of_zone (state->job, zone);
  g_autoptr (GString) text = g_string_new (NULL);

  for (guint i = 0; i < defects->len; i++)
    {
      const RakeDefect *defect = defects->pdata[i];

      g_string_append_printf (text, "%s%s: %s", text->len > 0 ? "\n" : "", defect->what,
                              _ (rake_standing_get_label (defect->told->defect.standing)));
    }
  rake_slip_add_fact (box, C_ ("claim", "Defects on record"), text->str);
}

static gboolean
is_between (const State *state, const RakeEntry *entry)
{
  for (guint i = state->from_entry; i < state->to_entry; i++)
    if (rake_job_get_entry (state->job, i) == entry)
      return TRUE;
  return FALSE;
}

static void
add_photos (GtkWidget *box, const State *state)
{
  g_autoptr (GPtrArray) photos =
      rake_job_list_photos (state->job, rake_id_is_nil (state->zone) ? state->face : state->zone);
  guint n_shown = 0;

  for (guint i = 0; i < photos->len; i++)
    {
      const RakePhoto *photo = photos->pdata[i];

      if (!is_between (state, photo->entry))
        continue;
      n_shown++;
      gtk_box_append (GTK_BOX (box), rake_record_photo_new (state->session, photo, PHOTO_PX));
    }
  if (n_shown == 0)
    rake_slip_add_words (box, _ ("No photograph of it."), "soft");
}

static void
show_state (GtkWidget *box, const State *state)
{
  const RakeZone *zone = rake_job_find_zone (state->job, state->zone);

  rake_slip_empty (box);
  if (zone)
    {
      add_zone (box, state, zone);
      add_defects (box, state, zone);
    }
  add_photos (box, state);
}

static void
show_then (RakeClaimSlip *self, RakeSession *session, const RakeClaim *claim,
           const RakePlace *place)
{
  g_autoptr (RakeJob) job =
      rake_job_new_until (rake_session_get_live_job (session), claim->n_entries_then);
  State state = { session, job, rake_session_get_rules (session), place->face, place->zone,
                  claim->hand_over->happened_ms, 0, claim->n_entries_then };
  g_autofree char *day = rake_say_when (claim->hand_over, rake_session_now_ms ());
  /* Translators: %s is a day and time. */
  g_autofree char *heading = g_strdup_printf (_ ("Then, when it was handed over: %s"), day);

  gtk_label_set_label (GTK_LABEL (self->then_heading), heading);
  rake_place_map_show_then (RAKE_PLACE_MAP (self->then), session, claim->n_entries_then, place,
                            state.at_ms, heading);
  show_state (self->then_facts, &state);
}

static void
show_now (RakeClaimSlip *self, RakeSession *session, const RakeClaim *claim, const RakePlace *place)
{
  const RakeJob *job = rake_session_get_live_job (session);
  State state = { session, job, rake_session_get_rules (session), place->face, place->zone,
                  rake_session_now_ms (), claim->n_entries_then, rake_job_get_n_entries (job) };

  gtk_label_set_label (GTK_LABEL (self->now_heading), C_ ("claim", "Now"));
  rake_place_map_show_now (RAKE_PLACE_MAP (self->now), session, place, C_ ("claim", "Now"));
  show_state (self->now_facts, &state);
}

/* A claim about the whole piece is shown on its first face. */
static void
show_both (RakeClaimSlip *self, RakeSession *session, const RakeClaim *claim)
{
  const RakeJob *job = rake_session_get_live_job (session);
  const RakeFace *face = claim->face                      ? claim->face
                         : rake_job_get_n_faces (job) > 0 ? rake_job_get_face (job, 0)
                                                          : NULL;
  RakePlace place = { 0 };

  gtk_widget_set_visible (self->side_by_side, face && claim->hand_over);
  if (!face || !claim->hand_over)
    return;
  place.face = face->id;
  place.zone = claim->zone ? claim->zone->id : RAKE_ID_NIL;
  place.mark = claim->mark ? claim->mark->entry->id : RAKE_ID_NIL;
  place.is_near = claim->zone != NULL;
  show_then (self, session, claim, &place);
  show_now (self, session, claim, &place);
}

/* --- all of it ------------------------------------------------------------------------------------- */

void
rake_claim_slip_show (RakeClaimSlip *self, RakeSession *session, RakeId id)
{
  const RakeJob *job = session ? rake_session_get_live_job (session) : NULL;
  g_autoptr (RakeClaim) claim = job ? rake_job_find_claim (job, id) : NULL;
  g_autofree char *about = NULL, *standing = NULL;

  gtk_widget_set_visible (self->content, claim != NULL);
  rake_slip_empty (self->buttons);
  if (!claim)
    {
      rake_place_map_clear (RAKE_PLACE_MAP (self->then));
      rake_place_map_clear (RAKE_PLACE_MAP (self->now));
      return;
    }
  gtk_label_set_label (GTK_LABEL (self->complaint), claim->told->claim.complaint);
  about = say_about (job, claim);
  standing =
      g_strconcat (_ (rake_decision_get_label (claim->told->claim.decision)), " · ", about, NULL);
  gtk_label_set_label (GTK_LABEL (self->decision), standing);
  rake_slip_add_button (self->buttons,
                        claim->is_open ? _ ("_Tell more, or decide it…") : _ ("_Tell more…"), NULL,
                        "record.tell", claim->id);
  if (claim->zone)
    rake_slip_add_button (self->buttons, _ ("_Show on the bench"), NULL, "record.go", claim->id);
  show_facts (self, claim);
  show_both (self, session, claim);
  show_story (self, claim);
}

static void
rake_claim_slip_dispose (GObject *object)
{
  gtk_widget_dispose_template (GTK_WIDGET (object), RAKE_TYPE_CLAIM_SLIP);
  G_OBJECT_CLASS (rake_claim_slip_parent_class)->dispose (object);
}

static void
rake_claim_slip_class_init (RakeClaimSlipClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  G_OBJECT_CLASS (klass)->dispose = rake_claim_slip_dispose;
  g_type_ensure (RAKE_TYPE_PLACE_MAP);
  g_type_ensure (RAKE_TYPE_WRAP_LAYOUT);
  gtk_widget_class_set_css_name (widget_class, "claimslip");
  gtk_widget_class_set_accessible_role (widget_class, GTK_ACCESSIBLE_ROLE_GROUP);
  gtk_widget_class_set_template_from_resource (widget_class, RAKE_UI_PATH "claim-slip.ui");
  gtk_widget_class_bind_template_child (widget_class, RakeClaimSlip, content);
  gtk_widget_class_bind_template_child (widget_class, RakeClaimSlip, complaint);
  gtk_widget_class_bind_template_child (widget_class, RakeClaimSlip, decision);
  gtk_widget_class_bind_template_child (widget_class, RakeClaimSlip, buttons);
  gtk_widget_class_bind_template_child (widget_class, RakeClaimSlip, facts);
  gtk_widget_class_bind_template_child (widget_class, RakeClaimSlip, side_by_side);
  gtk_widget_class_bind_template_child (widget_class, RakeClaimSlip, story);
  gtk_widget_class_bind_template_child (widget_class, RakeClaimSlip, then_heading);
  gtk_widget_class_bind_template_child (widget_class, RakeClaimSlip, then);
  gtk_widget_class_bind_template_child (widget_class, RakeClaimSlip, then_facts);
  gtk_widget_class_bind_template_child (widget_class, RakeClaimSlip, now_heading);
  gtk_widget_class_bind_template_child (widget_class, RakeClaimSlip, now);
  gtk_widget_class_bind_template_child (widget_class, RakeClaimSlip, now_facts);
}

static void
rake_claim_slip_init (RakeClaimSlip *self)
{
  gtk_widget_init_template (GTK_WIDGET (self));
  gtk_widget_set_size_request (self->then, -1, MAP_HEIGHT_PX);
  gtk_widget_set_size_request (self->now, -1, MAP_HEIGHT_PX);
}
