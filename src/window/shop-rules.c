/* shop-rules.c - the program's own rules, with the shop's on top. */
#include "shop-rules.h"

static int
compare_names (gconstpointer a, gconstpointer b)
{
  return g_strcmp0 (*(const char *const *) a, *(const char *const *) b);
}

static GPtrArray *
list_files (void)
{
  g_autofree char *folder = g_build_filename (g_get_user_config_dir (), "rakelight", "rules", NULL);
  GPtrArray *paths = g_ptr_array_new_with_free_func (g_free);
  g_autoptr (GDir) files = g_dir_open (folder, 0, NULL);
  const char *name;

  while (files && (name = g_dir_read_name (files)))
    if (g_str_has_suffix (name, ".rules"))
      g_ptr_array_add (paths, g_build_filename (folder, name, NULL));
  g_ptr_array_sort (paths, compare_names);
  return paths;
}

RakeRules *
rake_shop_rules_load (GError **error)
{
  g_autoptr (GPtrArray) paths = list_files ();
  g_autoptr (GError) own_error = NULL;
  RakeRules *rules =
      rake_rules_new ("rakelight.rules", rake_rules_get_builtin_text (), NULL, &own_error);

  if (!rules)
    g_error ("the built-in rules cannot be read: %s", own_error->message);
  for (guint i = 0; i < paths->len; i++)
    {
      g_autofree char *name = g_path_get_basename (paths->pdata[i]);
      g_autofree char *text = NULL;
      RakeRules *over;

      if (!g_file_get_contents (paths->pdata[i], &text, NULL, error))
        return rules;
      over = rake_rules_new (name, text, rules, error);
      if (!over)
        return rules;
      rake_rules_unref (rules);
      rules = over;
    }
  return rules;
}
