/* proposal.c - one thing that photographs seem to show, and whether a person takes it. */
#include "proposals-private.h"

#include "say.h"
#include "words.h"

enum
{
  PROPERTY_TAKEN = 1,
};

static GParamSpec *property_taken;

G_DEFINE_FINAL_TYPE (RakeProposal, rake_proposal, G_TYPE_OBJECT)

static void
rake_proposal_finalize (GObject *object)
{
  RakeProposal *self = RAKE_PROPOSAL (object);

  g_clear_pointer (&self->shape, rake_shape_unref);
  g_free (self->name);
  g_free (self->why);
  G_OBJECT_CLASS (rake_proposal_parent_class)->finalize (object);
}

static void
rake_proposal_get_property (GObject *object, guint id, GValue *value, GParamSpec *spec)
{
  if (id == PROPERTY_TAKEN)
    g_value_set_boolean (value, RAKE_PROPOSAL (object)->is_taken);
  else
    G_OBJECT_WARN_INVALID_PROPERTY_ID (object, id, spec);
}

static void
rake_proposal_class_init (RakeProposalClass *klass)
{
  G_OBJECT_CLASS (klass)->finalize = rake_proposal_finalize;
  G_OBJECT_CLASS (klass)->get_property = rake_proposal_get_property;
  property_taken =
      g_param_spec_boolean ("taken", NULL, NULL, FALSE, G_PARAM_READABLE | G_PARAM_STATIC_STRINGS);
  g_object_class_install_property (G_OBJECT_CLASS (klass), PROPERTY_TAKEN, property_taken);
}

static void
rake_proposal_init (RakeProposal *self)
{
}

const RakeShape *
rake_proposal_get_shape (RakeProposal *self)
{
  return self->shape;
}

RakeMarkKind
rake_proposal_get_kind (RakeProposal *self)
{
  return self->kind;
}

double
rake_proposal_get_confidence (RakeProposal *self)
{
  return self->confidence;
}

gboolean
rake_proposal_is_taken (RakeProposal *self)
{
  return self->is_taken;
}

const char *
rake_proposal_get_name (RakeProposal *self)
{
  return self->name;
}

const char *
rake_proposal_get_why (RakeProposal *self)
{
  return self->why;
}

void
rake_proposal_set_taken (RakeProposal *self, gboolean is_taken)
{
  if (self->is_taken == is_taken)
    return;
  self->is_taken = is_taken;
  g_object_notify_by_pspec (G_OBJECT (self), property_taken);
}

RakeProposal *
rake_proposal_new (RakeMarkKind kind, RakeShape *shape, double confidence, guint showing,
                   const char *why)
{
  RakeProposal *self = g_object_new (RAKE_TYPE_PROPOSAL, NULL);
  const char *what = _ (rake_mark_kind_get_label (kind));

  self->kind = kind;
  self->shape = rake_shape_ref (shape);
  self->confidence = confidence;
  self->showing = showing;
  self->why = g_strdup (why);
  if (kind == RAKE_MARK_SCRATCH)
    {
      g_autofree char *length = rake_say_length (rake_shape_get_length_mm (shape));
      /* Translators: a fault and its size: "Scratch, 49 mm". */
      self->name = g_strdup_printf (C_ ("proposal", "%s, %s"), what, length);
    }
  else
    self->name =
        g_strdup_printf (C_ ("proposal", "%s, %.0f mm²"), what, rake_shape_get_area_mm2 (shape));
  return self;
}
