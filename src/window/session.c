/* session.c - one job open at the bench. */
#include "session.h"

struct _RakeSession
{
  GObject parent_instance;
};

G_DEFINE_FINAL_TYPE (RakeSession, rake_session, G_TYPE_OBJECT)

static void
rake_session_class_init (RakeSessionClass *klass)
{
}

static void
rake_session_init (RakeSession *self)
{
}
