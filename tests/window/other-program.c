/* other-program.c WHAT FILE...: another program that has pictures to give.
 *
 * WHAT is "drag": a label from which the files can be dragged; "copy-files": they are in its
 * clipboard; "copy-picture": what is in the first, a JPEG, is. */
#include <gtk/gtk.h>
#include <string.h>

static GdkContentProvider *
new_files (const GPtrArray *files)
{
  g_autoptr (GSList) list = NULL;
  GdkContentProvider *provider;
  GdkFileList *given;

  for (guint i = files->len; i-- > 0;)
    list = g_slist_prepend (list, files->pdata[i]);
  given = gdk_file_list_new_from_list (list);
  provider = gdk_content_provider_new_typed (GDK_TYPE_FILE_LIST, given);
  g_boxed_free (GDK_TYPE_FILE_LIST, given);
  return provider;
}

static GdkContentProvider *
new_picture (GFile *file)
{
  g_autoptr (GBytes) bytes = g_file_load_bytes (file, NULL, NULL, NULL);

  g_assert (bytes != NULL);
  return gdk_content_provider_new_for_bytes ("image/jpeg", bytes);
}

static GdkContentProvider *
on_prepare (GtkDragSource *source, double x, double y, GPtrArray *files)
{
  return new_files (files);
}

static GtkWidget *
show_window (const char *text)
{
  GtkWidget *window = gtk_window_new (), *label = gtk_label_new (text);

  gtk_window_set_title (GTK_WINDOW (window), "Files");
  gtk_window_set_default_size (GTK_WINDOW (window), 160, 120);
  gtk_window_set_child (GTK_WINDOW (window), label);
  gtk_window_present (GTK_WINDOW (window));
  return label;
}

int
main (int argc, char **argv)
{
  g_autoptr (GPtrArray) files = g_ptr_array_new_with_free_func (g_object_unref);
  g_autoptr (GMainLoop) loop = g_main_loop_new (NULL, FALSE);
  g_autoptr (GdkContentProvider) copied = NULL;
  const char *what = argc > 2 ? argv[1] : "";
  GtkWidget *label;

  g_setenv ("GSK_RENDERER", "cairo", FALSE);
  gtk_init ();
  for (int i = 2; i < argc; i++)
    g_ptr_array_add (files, g_file_new_for_commandline_arg (argv[i]));
  label = show_window (strcmp (what, "drag") == 0 ? "Drag me" : "Copied");
  if (strcmp (what, "drag") == 0)
    {
      GtkDragSource *source = gtk_drag_source_new ();
      g_signal_connect (source, "prepare", G_CALLBACK (on_prepare), files);
      gtk_widget_add_controller (label, GTK_EVENT_CONTROLLER (source));
    }
  else
    {
      copied = strcmp (what, "copy-files") == 0 ? new_files (files) : new_picture (files->pdata[0]);
      gdk_clipboard_set_content (gtk_widget_get_clipboard (label), copied);
    }
  g_main_loop_run (loop);
  return 0;
}
