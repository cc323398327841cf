/* report-page.c - see report-page.h. Pages are made in a worker whenever the page comes into sight and what
 * it shows has changed; a later wish stops an earlier one. */
#include "report-page.h"
#include "report-paper.h"
#include "report-work.h"
#include "settings.h"
#include "wrap-layout.h"

#include <rakelight/bench-sheet.h>
#include <rakelight/units.h>

#include <glib/gstdio.h>
#include <locale.h>

#include "words.h"

#define GROUP "report"
#define MAIL_BYTES 20e6 /* many mailboxes take no more */

struct _RakeReportPage
{
  RakeSessionView parent_instance;

  GtkWidget *content, *client, *shop, *a4, *letter, *small, *original, *metric, *customary, *size,
      *said, *working, *progress;
  RakeReportPaper *paper;
  GtkFileChooserNative *chooser; /* while it is open */
  GCancellable *cancellable;     /* of what is being made; NULL: nothing */
  gboolean is_filling;           /* what is set now was not touched by the finisher */
  gboolean is_outdated;          /* the pages are not those of the job and the choice */
};

G_DEFINE_FINAL_TYPE (RakeReportPage, rake_report_page, RAKE_TYPE_SESSION_VIEW)

/* --- the choice --------------------------------------------------------------------------------- */

static gboolean
is_active (GtkWidget *button)
{
  return gtk_toggle_button_get_active (GTK_TOGGLE_BUTTON (button));
}

static RakeReportChoice
get_choice (RakeReportPage *self)
{
  gboolean is_customary = is_active (self->customary);

  return (RakeReportChoice){
    .edition = is_active (self->shop) ? RAKE_EDITION_SHOP : RAKE_EDITION_CLIENT,
    .sheet = is_active (self->letter) ? RAKE_SHEET_LETTER : RAKE_SHEET_A4,
    .photo_size =
        is_active (self->original) ? RAKE_REPORT_PHOTOS_ORIGINAL : RAKE_REPORT_PHOTOS_SMALL,
    .with_photos = TRUE,
    .units = { is_customary, is_customary, is_customary },
  };
}

/* The United States, Canada and Mexico write on Letter; a locale that has no country is asked no more. */
static gboolean
uses_letter (void)
{
  static const char *const countries[] = { "_US", "_CA", "_MX" };
  const char *locale = setlocale (LC_MESSAGES, NULL);

  for (gsize i = 0; locale && i < G_N_ELEMENTS (countries); i++)
    if (g_strrstr (locale, countries[i]))
      return TRUE;
  return FALSE;
}

/* On a first run paper by the locale, units as on the bench. */
static void
show_remembered (RakeReportPage *self)
{
  RakeUnits units = rake_units_get ();
  gboolean is_letter = rake_settings_get_number (GROUP, "letter", uses_letter ());
  gboolean is_shop = rake_settings_get_number (GROUP, "shop", FALSE);
  gboolean is_customary =
      rake_settings_get_number (GROUP, "customary", units.film_in_mil && units.length_in_inch);

  self->is_filling = TRUE;
  gtk_toggle_button_set_active (GTK_TOGGLE_BUTTON (self->small), TRUE);
  gtk_toggle_button_set_active (GTK_TOGGLE_BUTTON (is_letter ? self->letter : self->a4), TRUE);
  gtk_toggle_button_set_active (GTK_TOGGLE_BUTTON (is_shop ? self->shop : self->client), TRUE);
  gtk_toggle_button_set_active (GTK_TOGGLE_BUTTON (is_customary ? self->customary : self->metric),
                                TRUE);
  self->is_filling = FALSE;
}

/* Before it is mailed, not after. */
static void
show_size (RakeReportPage *self)
{
  RakeSession *session = rake_session_view_get_session (self);
  RakeReportChoice choice = get_choice (self);
  double bytes = session ? rake_report_work_guess_bytes (rake_session_get_live_job (session),
                                                         choice.photo_size)
                         : 0;
  g_autofree char *size = g_strdup_printf (_ ("About %.0f MB."), MAX (bytes / 1e6, 1));
  g_autofree char *text = bytes > MAIL_BYTES
                              ? g_strdup_printf (_ ("%s Many mailboxes take no more than %.0f MB."),
                                                 size, MAIL_BYTES / 1e6)
                              : g_strdup (size);

  gtk_label_set_label (GTK_LABEL (self->size), text);
}

static void
say (RakeReportPage *self, const char *sentence)
{
  gtk_widget_set_visible (self->said, sentence != NULL);
  gtk_label_set_label (GTK_LABEL (self->said), sentence ? sentence : "");
}

/* --- making ------------------------------------------------------------------------------------- */

static void
show_working (RakeReportPage *self)
{
  gboolean has_pages = rake_report_page_get_n_pages (self) > 0, is_idle = !self->cancellable;

  gtk_widget_set_visible (self->working, !is_idle);
  gtk_widget_action_set_enabled (GTK_WIDGET (self), "report.cancel", !is_idle);
  gtk_widget_action_set_enabled (GTK_WIDGET (self), "report.save", is_idle);
  gtk_widget_action_set_enabled (GTK_WIDGET (self), "report.print", is_idle && has_pages);
}

static void
on_progress (double fraction, gpointer user_data)
{
  RakeReportPage *self = user_data;

  if (self->progress)
    gtk_progress_bar_set_fraction (GTK_PROGRESS_BAR (self->progress), fraction);
}

static void
stop (RakeReportPage *self)
{
  if (self->cancellable)
    g_cancellable_cancel (self->cancellable);
  g_clear_object (&self->cancellable);
}

typedef struct
{
  RakeReportPage *page;      /* owned: it outlives the work */
  GCancellable *cancellable; /* owned; not the page's any more when another wish came after */
  char *path;                /* of a PDF */
} Wish;

static void
free_wish (Wish *wish)
{
  g_object_unref (wish->page);
  g_object_unref (wish->cancellable);
  g_free (wish->path);
  g_free (wish);
}
G_DEFINE_AUTOPTR_CLEANUP_FUNC (Wish, free_wish)

static void
say_saved (RakeReportPage *self, const char *path)
{
  g_autofree char *name = g_filename_display_basename (path), *text = NULL;
  GStatBuf file;
  double megabytes = g_stat (path, &file) == 0 ? (double) file.st_size / 1e6 : 0;

  text = megabytes * 1e6 > MAIL_BYTES
             ? g_strdup_printf (_ ("Saved as %s: %.0f MB. Many mailboxes take no more than %.0f."),
                                name, megabytes, MAIL_BYTES / 1e6)
             : g_strdup_printf (_ ("Saved as %s: %.1f MB."), name, megabytes);
  say (self, text);
}

static void
made (GObject *source, GAsyncResult *result, gpointer user_data)
{
  g_autoptr (Wish) wish = user_data;
  RakeReportPage *self = wish->page;
  g_autoptr (RakeReportPages) pages = NULL;
  g_autoptr (GError) error = NULL;
  gboolean is_made = rake_report_work_finish (result, &pages, &error);

  if (self->cancellable != wish->cancellable || !self->paper)
    return;
  g_clear_object (&self->cancellable);
  if (!is_made)
    say (self, g_error_matches (error, G_IO_ERROR, G_IO_ERROR_CANCELLED) ? _ ("Stopped.")
                                                                         : error->message);
  else if (wish->path)
    say_saved (self, wish->path);
  else
    rake_report_paper_show (self->paper, g_steal_pointer (&pages));
  show_working (self);
}

/* @path NULL: the pages. */
static void
begin (RakeReportPage *self, const char *path)
{
  RakeSession *session = rake_session_view_get_session (self);
  RakeReportChoice choice = get_choice (self);
  Wish *wish;

  stop (self);
  if (!session)
    return;
  say (self, NULL);
  self->cancellable = g_cancellable_new ();
  wish = g_new0 (Wish, 1);
  *wish = (Wish){ g_object_ref (self), g_object_ref (self->cancellable), g_strdup (path) };
  gtk_progress_bar_set_fraction (GTK_PROGRESS_BAR (self->progress), 0);
  rake_report_work_run (rake_session_get_path (session), &choice, path, rake_session_now_ms (),
                        on_progress, self, self->cancellable, made, wish);
  show_working (self);
}

static void
make_pages (RakeReportPage *self)
{
  self->is_outdated = FALSE;
  show_size (self);
  begin (self, NULL);
}

static void
on_choice (RakeReportPage *self, GParamSpec *pspec, GtkToggleButton *button)
{
  /* Of two buttons of a group one goes out as the other is pressed. */
  if (self->is_filling || !gtk_toggle_button_get_active (button))
    return;
  rake_settings_set_number (GROUP, "letter", is_active (self->letter));
  rake_settings_set_number (GROUP, "shop", is_active (self->shop));
  rake_settings_set_number (GROUP, "customary", is_active (self->customary));
  show_size (self);
  /* Pages have the small photographs in any case. */
  if (GTK_WIDGET (button) != self->small && GTK_WIDGET (button) != self->original)
    make_pages (self);
}

/* --- saving and printing ------------------------------------------------------------------------ */

void
rake_report_page_save (RakeReportPage *self, const char *path)
{
  begin (self, path);
}

/* A file's name that says whose it is, and nothing that a file's name cannot hold. */
static char *
propose_stem (RakeReportPage *self)
{
  RakeSession *session = rake_session_view_get_session (self);
  const RakeJobFacts *facts = rake_job_find_facts (rake_session_get_live_job (session));
  char *name = g_strdup (facts && facts->name ? facts->name : _ ("Finish record"));

  return g_strdelimit (name, "/\\:*?\"<>|", '-');
}

static char *
propose_name (RakeReportPage *self)
{
  g_autofree char *stem = propose_stem (self);

  return g_strconcat (stem, ".pdf", NULL);
}

static void
choose_place (RakeReportPage *self, const char *title, const char *proposed,
              void (*chosen) (GtkNativeDialog *, int, RakeReportPage *))
{
  GtkWindow *window = GTK_WINDOW (gtk_widget_get_root (GTK_WIDGET (self)));

  g_clear_object (&self->chooser);
  self->chooser =
      gtk_file_chooser_native_new (title, window, GTK_FILE_CHOOSER_ACTION_SAVE, _ ("_Save"), NULL);
  gtk_native_dialog_set_modal (GTK_NATIVE_DIALOG (self->chooser), TRUE);
  gtk_file_chooser_set_current_name (GTK_FILE_CHOOSER (self->chooser), proposed);
  g_signal_connect (self->chooser, "response", G_CALLBACK (chosen), self);
  gtk_native_dialog_show (GTK_NATIVE_DIALOG (self->chooser));
}

static char *
take_path (GtkNativeDialog *dialog, int response)
{
  g_autoptr (GFile) file = NULL;

  if (response == GTK_RESPONSE_ACCEPT)
    file = gtk_file_chooser_get_file (GTK_FILE_CHOOSER (dialog));
  return file ? g_file_get_path (file) : NULL;
}

static void
pdf_place_chosen (GtkNativeDialog *dialog, int response, RakeReportPage *self)
{
  g_autofree char *path = take_path (dialog, response);

  g_clear_object (&self->chooser);
  if (path)
    rake_report_page_save (self, path);
}

static void
save (GtkWidget *widget, const char *action, GVariant *parameter)
{
  RakeReportPage *self = RAKE_REPORT_PAGE (widget);
  g_autofree char *name = NULL;

  if (!rake_session_view_get_session (self))
    return;
  name = propose_name (self);
  choose_place (self, _ ("Save the report as PDF"), name, pdf_place_chosen);
}

static void
sheet_place_chosen (GtkNativeDialog *dialog, int response, RakeReportPage *self)
{
  RakeSession *session = rake_session_view_get_session (self);
  const RakeFace *face = session ? rake_session_get_face (session) : NULL;
  g_autofree char *path = take_path (dialog, response);
  g_autoptr (GError) error = NULL;

  g_clear_object (&self->chooser);
  if (!path || !face)
    return;
  if (rake_bench_sheet_write (path, rake_session_get_job (session), face, get_choice (self).sheet,
                              &error))
    say_saved (self, path);
  else
    say (self, error->message);
}

/* One page, made at once. */
static void
save_bench_sheet (GtkWidget *widget, const char *action, GVariant *parameter)
{
  RakeReportPage *self = RAKE_REPORT_PAGE (widget);
  RakeSession *session = rake_session_view_get_session (self);
  const RakeFace *face = session ? rake_session_get_face (session) : NULL;
  g_autofree char *name = NULL;

  if (!face)
    return;
  name = g_strdup_printf ("%s.pdf", face->name);
  choose_place (self, _ ("Save a bench sheet of the face"), name, sheet_place_chosen);
}

static void
draw_printed (GtkPrintOperation *operation, GtkPrintContext *context, int index,
              RakeReportPage *self)
{
  const RakeReportPages *pages = rake_report_paper_get_pages (self->paper);

  if (pages && (guint) index < rake_report_pages_get_n (pages))
    rake_report_pages_draw (pages, (guint) index, gtk_print_context_get_cairo_context (context));
}

static void
print (GtkWidget *widget, const char *action, GVariant *parameter)
{
  RakeReportPage *self = RAKE_REPORT_PAGE (widget);
  g_autoptr (GtkPrintOperation) operation = NULL;
  g_autoptr (GtkPrintSettings) settings = NULL;
  g_autoptr (GtkPageSetup) setup = NULL;
  g_autoptr (GtkPaperSize) paper = NULL;
  g_autoptr (GError) error = NULL;
  const char *documents = g_get_user_special_dir (G_USER_DIRECTORY_DOCUMENTS);
  g_autofree char *name = NULL;

  if (rake_report_page_get_n_pages (self) == 0)
    return;
  operation = gtk_print_operation_new ();
  setup = gtk_page_setup_new ();
  paper = gtk_paper_size_new (is_active (self->letter) ? GTK_PAPER_NAME_LETTER : GTK_PAPER_NAME_A4);
  settings = gtk_print_settings_new ();
  name = propose_stem (self);
  /* What is printed to a file is named for the piece, not "output", and lies where it is found. */
  gtk_print_settings_set (settings, GTK_PRINT_SETTINGS_OUTPUT_BASENAME, name);
  gtk_print_settings_set (settings, GTK_PRINT_SETTINGS_OUTPUT_DIR,
                          documents ? documents : g_get_home_dir ());
  gtk_print_operation_set_print_settings (operation, settings);
  gtk_page_setup_set_paper_size_and_default_margins (setup, paper);
  gtk_print_operation_set_default_page_setup (operation, setup);
  gtk_print_operation_set_use_full_page (operation, TRUE);
  gtk_print_operation_set_unit (operation, GTK_UNIT_POINTS);
  gtk_print_operation_set_n_pages (operation, (int) rake_report_page_get_n_pages (self));
  gtk_print_operation_set_job_name (operation, name);
  g_signal_connect (operation, "draw-page", G_CALLBACK (draw_printed), self);
  if (gtk_print_operation_run (operation, GTK_PRINT_OPERATION_ACTION_PRINT_DIALOG,
                               GTK_WINDOW (gtk_widget_get_root (widget)),
                               &error) == GTK_PRINT_OPERATION_RESULT_ERROR)
    say (self, error->message);
}

/* --- looking ------------------------------------------------------------------------------------ */

static void
zoom (GtkWidget *widget, const char *action, GVariant *parameter)
{
  RakeReportPage *self = RAKE_REPORT_PAGE (widget);

  rake_report_paper_zoom (self->paper, g_str_equal (action, "report.nearer")    ? 1
                                       : g_str_equal (action, "report.further") ? -1
                                                                                : 0);
}

static void
cancel (GtkWidget *widget, const char *action, GVariant *parameter)
{
  RakeReportPage *self = RAKE_REPORT_PAGE (widget);

  if (self->cancellable)
    g_cancellable_cancel (self->cancellable);
}

guint
rake_report_page_get_n_pages (RakeReportPage *self)
{
  const RakeReportPages *pages = rake_report_paper_get_pages (self->paper);

  return pages ? rake_report_pages_get_n (pages) : 0;
}

/* Making it is for when somebody looks. */
static void
rake_report_page_show (RakeSessionView *view, RakeShow what)
{
  RakeReportPage *self = RAKE_REPORT_PAGE (view);

  if (what != RAKE_SHOW_SESSION && what != RAKE_SHOW_JOB)
    return;
  if (what == RAKE_SHOW_SESSION)
    {
      stop (self);
      rake_report_paper_show (self->paper, NULL);
      show_working (self);
    }
  self->is_outdated = TRUE;
  if (gtk_widget_get_mapped (GTK_WIDGET (self)))
    make_pages (self);
}

static void
rake_report_page_map (GtkWidget *widget)
{
  RakeReportPage *self = RAKE_REPORT_PAGE (widget);

  GTK_WIDGET_CLASS (rake_report_page_parent_class)->map (widget);
  if (self->is_outdated)
    make_pages (self);
}

static void
rake_report_page_dispose (GObject *object)
{
  RakeReportPage *self = RAKE_REPORT_PAGE (object);

  stop (self);
  g_clear_object (&self->chooser);
  gtk_widget_dispose_template (GTK_WIDGET (object), RAKE_TYPE_REPORT_PAGE);
  G_OBJECT_CLASS (rake_report_page_parent_class)->dispose (object);
}

static void
bind_children (GtkWidgetClass *widget_class)
{
  gtk_widget_class_bind_template_child (widget_class, RakeReportPage, content);
  gtk_widget_class_bind_template_child (widget_class, RakeReportPage, client);
  gtk_widget_class_bind_template_child (widget_class, RakeReportPage, shop);
  gtk_widget_class_bind_template_child (widget_class, RakeReportPage, a4);
  gtk_widget_class_bind_template_child (widget_class, RakeReportPage, letter);
  gtk_widget_class_bind_template_child (widget_class, RakeReportPage, small);
  gtk_widget_class_bind_template_child (widget_class, RakeReportPage, original);
  gtk_widget_class_bind_template_child (widget_class, RakeReportPage, metric);
  gtk_widget_class_bind_template_child (widget_class, RakeReportPage, customary);
  gtk_widget_class_bind_template_child (widget_class, RakeReportPage, size);
  gtk_widget_class_bind_template_child (widget_class, RakeReportPage, said);
  gtk_widget_class_bind_template_child (widget_class, RakeReportPage, working);
  gtk_widget_class_bind_template_child (widget_class, RakeReportPage, progress);
  gtk_widget_class_bind_template_child (widget_class, RakeReportPage, paper);
}

static void
rake_report_page_class_init (RakeReportPageClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  G_OBJECT_CLASS (klass)->dispose = rake_report_page_dispose;
  widget_class->map = rake_report_page_map;
  RAKE_SESSION_VIEW_CLASS (klass)->show = rake_report_page_show;
  g_type_ensure (RAKE_TYPE_REPORT_PAPER);
  g_type_ensure (RAKE_TYPE_WRAP_LAYOUT);
  gtk_widget_class_set_css_name (widget_class, "reportpage");
  gtk_widget_class_set_template_from_resource (widget_class, RAKE_UI_PATH "report-page.ui");
  bind_children (widget_class);
  gtk_widget_class_bind_template_callback (widget_class, on_choice);
  gtk_widget_class_install_action (widget_class, "report.save", NULL, save);
  gtk_widget_class_install_action (widget_class, "report.print", NULL, print);
  gtk_widget_class_install_action (widget_class, "report.bench-sheet", NULL, save_bench_sheet);
  gtk_widget_class_install_action (widget_class, "report.cancel", NULL, cancel);
  gtk_widget_class_install_action (widget_class, "report.nearer", NULL, zoom);
  gtk_widget_class_install_action (widget_class, "report.further", NULL, zoom);
  gtk_widget_class_install_action (widget_class, "report.fit", NULL, zoom);
  gtk_widget_class_add_binding_action (widget_class, GDK_KEY_plus, 0, "report.nearer", NULL);
  gtk_widget_class_add_binding_action (widget_class, GDK_KEY_minus, 0, "report.further", NULL);
  gtk_widget_class_add_binding_action (widget_class, GDK_KEY_0, 0, "report.fit", NULL);
  gtk_widget_class_add_binding_action (widget_class, GDK_KEY_s, GDK_CONTROL_MASK, "report.save",
                                       NULL);
}

static void
rake_report_page_init (RakeReportPage *self)
{
  gtk_widget_init_template (GTK_WIDGET (self));
  show_remembered (self);
  show_working (self);
}
