/* planted-leak.c - loses a string and an object, to see whether the leak finder would tell. */
#include <gio/gio.h>

/* Not inlined, so that each has its own line in the finder's report. */
__attribute__ ((noinline)) static void
lose_a_string (void)
{
  char *volatile text = g_strdup ("nobody keeps this");
  text = NULL;
  (void) text;
}

__attribute__ ((noinline)) static void
lose_an_object (void)
{
  GObject *volatile object = g_object_new (G_TYPE_MENU, NULL);
  object = NULL;
  (void) object;
}

int
main (void)
{
  lose_a_string ();
  lose_an_object ();
  return 0;
}
