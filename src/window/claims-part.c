/* claims-part.c - the claims after the hand-over. */
#include "claims-part.h"
#include "claim-slip.h"
#include "say.h"
#include "slip-words.h"

#include <rakelight/record.h>
#include "words.h"

struct _RakeClaimsPart
{
  RakeSessionView parent_instance;

  GtkWidget *content, *new_claim, *nothing, *list, *slip_scroller;
  RakeClaimSlip *slip;
  RakeId chosen;
  gboolean is_filling;
};

G_DEFINE_FINAL_TYPE (RakeClaimsPart, rake_claims_part, RAKE_TYPE_SESSION_VIEW)

static RakeId
get_claim (GtkListBoxRow *row)
{
  return *(RakeId *) g_object_get_data (G_OBJECT (row), "claim");
}

static GtkWidget *
new_row (const RakeClaim *claim)
{
  GtkWidget *row = gtk_list_box_row_new (), *box = gtk_box_new (GTK_ORIENTATION_VERTICAL, 2);
  g_autofree char *when = rake_say_when (claim->entry, rake_session_now_ms ());
  g_autofree char *state =
      g_strconcat (_ (rake_decision_get_label (claim->told->claim.decision)), " · ", when, NULL);
  g_autofree char *name = g_strdup_printf ("%s. %s", claim->told->claim.complaint, state);

  rake_slip_add_words (box, claim->told->claim.complaint, "record-title");
  gtk_widget_add_css_class (rake_slip_add_words (box, state, "soft"), "small");
  gtk_list_box_row_set_child (GTK_LIST_BOX_ROW (row), box);
  gtk_accessible_update_property (GTK_ACCESSIBLE (row), GTK_ACCESSIBLE_PROPERTY_LABEL, name, -1);
  g_object_set_data_full (G_OBJECT (row), "claim", g_memdup2 (&claim->id, sizeof claim->id),
                          g_free);
  return row;
}

static void
fill_list (RakeClaimsPart *self, const GPtrArray *claims)
{
  GtkWidget *row, *chosen_row = NULL;

  while ((row = gtk_widget_get_first_child (self->list)))
    gtk_list_box_remove (GTK_LIST_BOX (self->list), row);
  for (guint i = claims->len; i-- > 0;)
    {
      const RakeClaim *claim = claims->pdata[i];

      row = new_row (claim);
      gtk_list_box_append (GTK_LIST_BOX (self->list), row);
      if (!chosen_row || rake_id_equal (claim->id, self->chosen))
        chosen_row = row;
    }
  if (chosen_row)
    gtk_list_box_select_row (GTK_LIST_BOX (self->list), GTK_LIST_BOX_ROW (chosen_row));
  self->chosen = chosen_row ? get_claim (GTK_LIST_BOX_ROW (chosen_row)) : RAKE_ID_NIL;
}

static void
show_all (RakeClaimsPart *self)
{
  RakeSession *session = rake_session_view_get_session (self);
  const RakeJob *job = session ? rake_session_get_live_job (session) : NULL;
  g_autoptr (GPtrArray) claims = job ? rake_job_list_claims (job) : NULL;
  gboolean is_handed_over = job && rake_job_find_hand_over (job, NULL);

  if (job)
    {
      self->is_filling = TRUE;
      fill_list (self, claims);
      self->is_filling = FALSE;
      gtk_label_set_label (
          GTK_LABEL (self->nothing),
          is_handed_over ? _ ("No claim was made.")
                         : _ ("Claims come after the hand-over. Until then put what is wrong on "
                              "record as a defect."));
      gtk_widget_set_visible (self->nothing, claims->len == 0);
      gtk_widget_set_visible (self->list, claims->len > 0);
      gtk_widget_set_visible (self->new_claim, is_handed_over);
    }
  rake_claim_slip_show (self->slip, session, self->chosen);
}

static void
on_row (RakeClaimsPart *self, GtkListBoxRow *row)
{
  if (self->is_filling || !row)
    return;
  self->chosen = get_claim (row);
  gtk_adjustment_set_value (
      gtk_scrolled_window_get_vadjustment (GTK_SCROLLED_WINDOW (self->slip_scroller)), 0);
  rake_claim_slip_show (self->slip, rake_session_view_get_session (self), self->chosen);
}

void
rake_claims_part_choose (RakeClaimsPart *self, RakeId claim)
{
  RakeSession *session = rake_session_view_get_session (self);
  g_autoptr (RakeClaim) found =
      session ? rake_job_find_claim (rake_session_get_live_job (session), claim) : NULL;

  if (!found)
    return;
  self->chosen = found->id;
  show_all (self);
}

static void
rake_claims_part_show (RakeSessionView *view, RakeShow what)
{
  if (what == RAKE_SHOW_SESSION)
    RAKE_CLAIMS_PART (view)->chosen = RAKE_ID_NIL;
  if (what == RAKE_SHOW_SESSION ||
      (what == RAKE_SHOW_JOB && gtk_widget_get_mapped (GTK_WIDGET (view))))
    show_all (RAKE_CLAIMS_PART (view));
}

static void
rake_claims_part_map (GtkWidget *widget)
{
  GTK_WIDGET_CLASS (rake_claims_part_parent_class)->map (widget);
  show_all (RAKE_CLAIMS_PART (widget));
}

static void
rake_claims_part_dispose (GObject *object)
{
  RAKE_CLAIMS_PART (object)->is_filling = TRUE;
  gtk_widget_dispose_template (GTK_WIDGET (object), RAKE_TYPE_CLAIMS_PART);
  G_OBJECT_CLASS (rake_claims_part_parent_class)->dispose (object);
}

static void
rake_claims_part_class_init (RakeClaimsPartClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  G_OBJECT_CLASS (klass)->dispose = rake_claims_part_dispose;
  widget_class->map = rake_claims_part_map;
  RAKE_SESSION_VIEW_CLASS (klass)->show = rake_claims_part_show;
  g_type_ensure (RAKE_TYPE_CLAIM_SLIP);
  gtk_widget_class_set_css_name (widget_class, "claimspart");
  gtk_widget_class_set_template_from_resource (widget_class, RAKE_UI_PATH "claims-part.ui");
  gtk_widget_class_bind_template_child (widget_class, RakeClaimsPart, content);
  gtk_widget_class_bind_template_child (widget_class, RakeClaimsPart, new_claim);
  gtk_widget_class_bind_template_child (widget_class, RakeClaimsPart, nothing);
  gtk_widget_class_bind_template_child (widget_class, RakeClaimsPart, list);
  gtk_widget_class_bind_template_child (widget_class, RakeClaimsPart, slip_scroller);
  gtk_widget_class_bind_template_child (widget_class, RakeClaimsPart, slip);
  gtk_widget_class_bind_template_callback (widget_class, on_row);
}

static void
rake_claims_part_init (RakeClaimsPart *self)
{
  gtk_widget_init_template (GTK_WIDGET (self));
}
