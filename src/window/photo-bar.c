/* photo-bar.c - what goes on with photographs. */
#include "photo-bar.h"
#include "photo-desk.h"
#include "photo-watch.h"
#include "say.h"

#include <adwaita.h>

#include "words.h"

struct _RakePhotoBar
{
  RakeSessionView parent_instance;

  GtkWidget *content, *adding, *adding_label, *progress, *offer, *offer_label, *guess_label;
  RakePhotoDesk *desk; /* whose progress is shown; the session's */
};

G_DEFINE_FINAL_TYPE (RakePhotoBar, rake_photo_bar, RAKE_TYPE_SESSION_VIEW)

/* --- adding ---------------------------------------------------------------------------------------- */

static void
show_progress (RakePhotoBar *self)
{
  guint n_waiting = self->desk ? rake_photo_desk_get_n_waiting (self->desk) : 0;
  g_autofree char *text = g_strdup_printf (
      ngettext ("Adding %u photograph", "Adding %u photographs", n_waiting), n_waiting);

  gtk_widget_set_visible (self->adding, n_waiting > 0);
  if (n_waiting == 0)
    return;
  gtk_label_set_label (GTK_LABEL (self->adding_label), text);
  gtk_progress_bar_set_fraction (GTK_PROGRESS_BAR (self->progress),
                                 rake_photo_desk_get_progress (self->desk));
}

static void
stop_adding (GtkWidget *widget, const char *action, GVariant *parameter)
{
  RakePhotoBar *self = RAKE_PHOTO_BAR (widget);

  if (self->desk)
    rake_photo_desk_cancel (self->desk);
}

/* --- what is new --------------------------------------------------------------------------------------- */

/* Where they may belong, by the dates of the files; what each tells itself is seen once it is read. */
static char *
say_guess (const RakeJob *job, const GPtrArray *offered)
{
  g_autofree char *guess = NULL;

  for (guint i = 0; i < offered->len; i++)
    {
      const RakeOfferedPhoto *photo = offered->pdata[i];
      g_autofree char *one = rake_photo_place_describe_guess (job, photo->file_ms);

      if (i > 0 && g_strcmp0 (one, guess) != 0)
        return g_strdup (_ ("They seem to belong to different places; each goes where the work was "
                            "when it was taken."));
      if (i == 0)
        guess = g_steal_pointer (&one);
    }
  if (!guess)
    return g_strdup (_ ("Nothing was worked shortly before: say afterwards where they belong."));
  /* Translators: face, stage and zones: "Front, P800, Lower bass". */
  return g_strdup_printf (_ ("By the time: %s"), guess);
}

static void
show_offer (RakePhotoBar *self)
{
  RakeSession *session = rake_session_view_get_session (self);
  RakePhotoWatch *watch = rake_photo_watch_get ();
  GPtrArray *offered = rake_photo_watch_get_offered (watch);
  gboolean is_open = session && offered->len > 0 && !rake_session_is_read_only (session) &&
                     !rake_session_is_in_the_past (session);
  g_autofree char *folder = NULL, *text = NULL, *guess = NULL;

  gtk_widget_set_visible (self->offer, is_open);
  if (!is_open)
    return;
  folder = g_filename_display_basename (rake_photo_watch_get_folder (watch));
  text =
      g_strdup_printf (ngettext ("%u new picture in “%s”", "%u new pictures in “%s”", offered->len),
                       offered->len, folder);
  guess = say_guess (rake_session_get_job (session), offered);
  gtk_label_set_label (GTK_LABEL (self->offer_label), text);
  gtk_label_set_label (GTK_LABEL (self->guess_label), guess);
}

static void
add_path (RakePhotoBar *self, const char *path)
{
  g_autoptr (GFile) file = g_file_new_for_path (path);

  rake_photo_desk_add_file (self->desk, file, NULL);
}

static void
add_all (GtkWidget *widget, const char *action, GVariant *parameter)
{
  RakePhotoBar *self = RAKE_PHOTO_BAR (widget);
  RakePhotoWatch *watch = rake_photo_watch_get ();
  GPtrArray *offered = rake_photo_watch_get_offered (watch);

  for (guint i = 0; self->desk && i < offered->len; i++)
    add_path (self, ((const RakeOfferedPhoto *) offered->pdata[i])->path);
  rake_photo_watch_answer (watch);
}

static void
add_none (GtkWidget *widget, const char *action, GVariant *parameter)
{
  rake_photo_watch_answer (rake_photo_watch_get ());
}

/* --- some of them ----------------------------------------------------------------------------------------- */

static char *
say_file (const RakeJob *job, const RakeOfferedPhoto *photo)
{
  g_autofree char *name = g_filename_display_basename (photo->path);
  g_autofree char *guess = rake_photo_place_describe_guess (job, photo->file_ms);
  g_autoptr (GDateTime) time = g_date_time_new_from_unix_local (photo->file_ms / 1000);
  g_autofree char *when = time ? g_date_time_format (time, "%x %X") : g_strdup ("");

  if (!guess)
    return g_strdup_printf ("%s\n%s", name, when);
  /* Translators: a file's name, its date, and where it may belong. */
  return g_strdup_printf (_ ("%s\n%s: %s"), name, when, guess);
}

static void
on_some_chosen (AdwMessageDialog *dialog, const char *response, RakePhotoBar *self)
{
  GtkWidget *list = g_object_get_data (G_OBJECT (dialog), "list");

  if (!g_str_equal (response, "add") || !self->desk)
    return;
  for (GtkWidget *check = gtk_widget_get_first_child (list); check;
       check = gtk_widget_get_next_sibling (check))
    if (gtk_check_button_get_active (GTK_CHECK_BUTTON (check)))
      add_path (self, g_object_get_data (G_OBJECT (check), "path"));
  rake_photo_watch_answer (rake_photo_watch_get ());
}

static GtkWidget *
new_list (const RakeJob *job, const GPtrArray *offered)
{
  GtkWidget *list = gtk_box_new (GTK_ORIENTATION_VERTICAL, 0);

  for (guint i = 0; i < offered->len; i++)
    {
      const RakeOfferedPhoto *photo = offered->pdata[i];
      g_autofree char *label = say_file (job, photo);
      GtkWidget *check = gtk_check_button_new_with_label (label);

      gtk_widget_add_css_class (check, "tall");
      gtk_check_button_set_active (GTK_CHECK_BUTTON (check), TRUE);
      g_object_set_data_full (G_OBJECT (check), "path", g_strdup (photo->path), g_free);
      gtk_box_append (GTK_BOX (list), check);
    }
  return list;
}

static void
choose_some (GtkWidget *widget, const char *action, GVariant *parameter)
{
  RakePhotoBar *self = RAKE_PHOTO_BAR (widget);
  RakeSession *session = rake_session_view_get_session (self);
  GtkRoot *root = gtk_widget_get_root (widget);
  GtkWidget *dialog, *list, *scroller;

  if (!session)
    return;
  dialog = adw_message_dialog_new (
      GTK_WINDOW (root), _ ("Which of them belong to this job?"),
      _ ("Those without a tick are not offered again. They stay in their folder."));
  list = new_list (rake_session_get_job (session),
                   rake_photo_watch_get_offered (rake_photo_watch_get ()));
  scroller = gtk_scrolled_window_new ();
  g_object_set (scroller, "hscrollbar-policy", GTK_POLICY_NEVER, "propagate-natural-height", TRUE,
                "max-content-height", 360, NULL);
  gtk_scrolled_window_set_child (GTK_SCROLLED_WINDOW (scroller), list);
  adw_message_dialog_set_extra_child (ADW_MESSAGE_DIALOG (dialog), scroller);
  adw_message_dialog_add_responses (ADW_MESSAGE_DIALOG (dialog), "cancel",
                                    C_ ("photographs", "_Cancel"), "add",
                                    C_ ("photographs", "_Add"), NULL);
  adw_message_dialog_set_default_response (ADW_MESSAGE_DIALOG (dialog), "add");
  adw_message_dialog_set_close_response (ADW_MESSAGE_DIALOG (dialog), "cancel");
  adw_message_dialog_set_response_appearance (ADW_MESSAGE_DIALOG (dialog), "add",
                                              ADW_RESPONSE_SUGGESTED);
  g_object_set_data (G_OBJECT (dialog), "list", list);
  g_signal_connect_object (dialog, "response", G_CALLBACK (on_some_chosen), self, 0);
  gtk_window_present (GTK_WINDOW (dialog));
}

/* --- the folder ---------------------------------------------------------------------------------------- */

static void
on_folder_chosen (GtkNativeDialog *dialog, int response, gpointer nothing)
{
  if (response == GTK_RESPONSE_ACCEPT)
    {
      g_autoptr (GFile) folder = gtk_file_chooser_get_file (GTK_FILE_CHOOSER (dialog));
      g_autofree char *path = g_file_get_path (folder);
      if (path)
        rake_photo_watch_set_folder (rake_photo_watch_get (), path);
    }
  g_object_unref (dialog);
}

static void
ask_for_folder (GtkWindow *parent)
{
  GtkFileChooserNative *chooser = gtk_file_chooser_native_new (
      _ ("Watch a folder for new pictures"), parent, GTK_FILE_CHOOSER_ACTION_SELECT_FOLDER,
      C_ ("photographs", "_Watch"), NULL);

  gtk_native_dialog_set_modal (GTK_NATIVE_DIALOG (chooser), TRUE);
  g_signal_connect (chooser, "response", G_CALLBACK (on_folder_chosen), NULL);
  gtk_native_dialog_show (GTK_NATIVE_DIALOG (chooser));
}

static void
on_watch_answered (AdwMessageDialog *dialog, const char *response, GtkWindow *parent)
{
  if (g_str_equal (response, "stop"))
    rake_photo_watch_set_folder (rake_photo_watch_get (), NULL);
  else if (g_str_equal (response, "other"))
    ask_for_folder (parent);
}

void
rake_photo_bar_choose_folder (GtkWindow *parent)
{
  const char *folder = rake_photo_watch_get_folder (rake_photo_watch_get ());
  g_autofree char *shown = folder ? g_filename_display_name (folder) : NULL;
  GtkWidget *dialog;

  if (!folder)
    {
      ask_for_folder (parent);
      return;
    }
  dialog = adw_message_dialog_new (parent, _ ("A folder is watched"), NULL);
  adw_message_dialog_format_body (ADW_MESSAGE_DIALOG (dialog),
                                  _ ("New pictures in %s are offered to the job that is open."),
                                  shown);
  adw_message_dialog_add_responses (
      ADW_MESSAGE_DIALOG (dialog), "close", C_ ("photographs", "_Go On"), "stop",
      C_ ("photographs", "_Stop Watching"), "other", C_ ("photographs", "_Another Folder…"), NULL);
  adw_message_dialog_set_default_response (ADW_MESSAGE_DIALOG (dialog), "close");
  g_signal_connect_object (dialog, "response", G_CALLBACK (on_watch_answered), parent, 0);
  gtk_window_present (GTK_WINDOW (dialog));
}

/* --- all of it -------------------------------------------------------------------------------------------- */

static void
listen (RakePhotoBar *self)
{
  RakeSession *session = rake_session_view_get_session (self);

  if (self->desk)
    g_signal_handlers_disconnect_by_data (self->desk, self);
  g_clear_object (&self->desk);
  if (!session)
    return;
  self->desk = g_object_ref (rake_photo_desk_get (session));
  g_signal_connect_swapped (self->desk, "progress", G_CALLBACK (show_progress), self);
}

static void
rake_photo_bar_show (RakeSessionView *view, RakeShow what)
{
  RakePhotoBar *self = RAKE_PHOTO_BAR (view);

  if (what == RAKE_SHOW_SESSION)
    {
      listen (self);
      show_progress (self);
    }
  if (what == RAKE_SHOW_SESSION || what == RAKE_SHOW_JOB)
    show_offer (self);
}

static void
rake_photo_bar_dispose (GObject *object)
{
  RakePhotoBar *self = RAKE_PHOTO_BAR (object);

  if (self->desk)
    g_signal_handlers_disconnect_by_data (self->desk, self);
  g_clear_object (&self->desk);
  gtk_widget_dispose_template (GTK_WIDGET (object), RAKE_TYPE_PHOTO_BAR);
  G_OBJECT_CLASS (rake_photo_bar_parent_class)->dispose (object);
}

static void
rake_photo_bar_class_init (RakePhotoBarClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  G_OBJECT_CLASS (klass)->dispose = rake_photo_bar_dispose;
  RAKE_SESSION_VIEW_CLASS (klass)->show = rake_photo_bar_show;
  gtk_widget_class_set_css_name (widget_class, "photobar");
  gtk_widget_class_set_template_from_resource (widget_class, RAKE_UI_PATH "photo-bar.ui");
  gtk_widget_class_bind_template_child (widget_class, RakePhotoBar, content);
  gtk_widget_class_bind_template_child (widget_class, RakePhotoBar, adding);
  gtk_widget_class_bind_template_child (widget_class, RakePhotoBar, adding_label);
  gtk_widget_class_bind_template_child (widget_class, RakePhotoBar, progress);
  gtk_widget_class_bind_template_child (widget_class, RakePhotoBar, offer);
  gtk_widget_class_bind_template_child (widget_class, RakePhotoBar, offer_label);
  gtk_widget_class_bind_template_child (widget_class, RakePhotoBar, guess_label);
  gtk_widget_class_install_action (widget_class, "photos.stop", NULL, stop_adding);
  gtk_widget_class_install_action (widget_class, "photos.add-offered", NULL, add_all);
  gtk_widget_class_install_action (widget_class, "photos.choose-offered", NULL, choose_some);
  gtk_widget_class_install_action (widget_class, "photos.leave-offered", NULL, add_none);
}

static void
rake_photo_bar_init (RakePhotoBar *self)
{
  gtk_widget_init_template (GTK_WIDGET (self));
  g_signal_connect_object (rake_photo_watch_get (), "changed", G_CALLBACK (show_offer), self,
                           G_CONNECT_SWAPPED);
}
