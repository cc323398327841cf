/* window-actions.c - everything the window offers, as actions with their keys. */
#include "window-private.h"
#include "claim-dialog.h"
#include "defect-dialog.h"
#include "dialogs.h"
#include "log-window.h"
#include "photo-bar.h"
#include "photo-ways.h"
#include "photos-page.h"
#include "proposals-page.h"
#include "record-page.h"
#include "settings.h"
#include "theme.h"
#include "wheel-chooser.h"

#include <math.h>
#include <rakelight/map.h>
#include <rakelight/photo.h>
#include "words.h"

#define MAP_PICTURE_PX 2400

/* --- helpers --------------------------------------------------------------------------------- */

static RakeSession *
get_session (GtkWidget *widget)
{
  return RAKE_WINDOW (widget)->session;
}

/* The id in @parameter; for "" the selected zone's. FALSE when there is none. */
static gboolean
take_id (GtkWidget *widget, GVariant *parameter, RakeId *id)
{
  RakeSession *session = get_session (widget);
  const char *text = parameter ? g_variant_get_string (parameter, NULL) : "";
  const RakeZone *zone;

  if (!session)
    return FALSE;
  if (*text)
    return rake_id_from_text (text, id);
  zone = rake_session_get_zone (session);
  if (zone)
    *id = zone->id;
  return zone != NULL;
}

/* As take_id(), of a zone that is there now. */
static gboolean
take_zone (GtkWidget *widget, GVariant *parameter, RakeId *id)
{
  return take_id (widget, parameter, id) &&
         rake_job_find_zone (rake_session_get_job (get_session (widget)), *id) != NULL;
}

static RakeFaceMap *
get_map (GtkWidget *widget)
{
  return rake_bench_page_get_map (RAKE_BENCH_PAGE (RAKE_WINDOW (widget)->bench));
}

/* --- pages ----------------------------------------------------------------------------------- */

static void
open_job (GtkWidget *widget, const char *name, GVariant *parameter)
{
  rake_window_open (RAKE_WINDOW (widget), g_variant_get_string (parameter, NULL));
}

static void
job_chosen (GtkNativeDialog *dialog, int response, RakeWindow *self)
{
  if (response == GTK_RESPONSE_ACCEPT)
    {
      g_autoptr (GFile) file = gtk_file_chooser_get_file (GTK_FILE_CHOOSER (dialog));
      g_autofree char *path = g_file_get_path (file);
      if (path)
        rake_window_open (self, path);
    }
  g_clear_object (&self->chooser);
}

static void
choose_job (GtkWidget *widget, const char *name, GVariant *parameter)
{
  RakeWindow *self = RAKE_WINDOW (widget);
  g_autoptr (GtkFileFilter) filter = gtk_file_filter_new ();

  g_clear_object (&self->chooser);
  self->chooser = gtk_file_chooser_native_new (_ ("Open a job"), GTK_WINDOW (self),
                                               GTK_FILE_CHOOSER_ACTION_OPEN, _ ("_Open"), NULL);
  gtk_native_dialog_set_modal (GTK_NATIVE_DIALOG (self->chooser), TRUE);
  gtk_file_filter_set_name (filter, _ ("Job files"));
  gtk_file_filter_add_pattern (filter, "*" RAKE_JOB_FILE_SUFFIX);
  gtk_file_chooser_add_filter (GTK_FILE_CHOOSER (self->chooser), filter);
  g_signal_connect (self->chooser, "response", G_CALLBACK (job_chosen), self);
  gtk_native_dialog_show (GTK_NATIVE_DIALOG (self->chooser));
}

static void
show_new_job (GtkWidget *widget, const char *name, GVariant *parameter)
{
  rake_window_set_session (RAKE_WINDOW (widget), NULL);
  rake_window_show_page (RAKE_WINDOW (widget), "new-job");
}

static void
go_back_to_shelf (GtkWidget *widget, const char *name, GVariant *parameter)
{
  const char *page = gtk_stack_get_visible_child_name (GTK_STACK (RAKE_WINDOW (widget)->pages));

  /* From a page beside the bench the way back is to the bench. */
  if (get_session (widget) && g_strcmp0 (page, "bench") != 0)
    {
      rake_window_show_page (RAKE_WINDOW (widget), "bench");
      return;
    }
  rake_window_set_session (RAKE_WINDOW (widget), NULL);
  rake_window_show_page (RAKE_WINDOW (widget), "shelf");
}

static void
show_bench (GtkWidget *widget, const char *name, GVariant *parameter)
{
  rake_window_show_page (RAKE_WINDOW (widget), "bench");
}

static void
edit_zones (GtkWidget *widget, const char *name, GVariant *parameter)
{
  rake_window_show_page (RAKE_WINDOW (widget), "zones");
}

static void
plan_grits (GtkWidget *widget, const char *name, GVariant *parameter)
{
  rake_window_show_page (RAKE_WINDOW (widget), "planner");
}

static void
show_wheels (GtkWidget *widget, const char *name, GVariant *parameter)
{
  rake_window_show_page (RAKE_WINDOW (widget), "wheels");
}

RakePhotoPlace *
rake_window_get_photo_place (RakeWindow *self)
{
  const char *page = gtk_stack_get_visible_child_name (GTK_STACK (self->pages));

  if (!self->session)
    return NULL;
  if (g_strcmp0 (page, "bench") == 0)
    return rake_photo_place_new_from_selection (self->session);
  return rake_photos_page_get_place (RAKE_PHOTOS_PAGE (self->photos));
}

static void
show_photos (GtkWidget *widget, const char *name, GVariant *parameter)
{
  rake_window_show_page (RAKE_WINDOW (widget), "photos");
}

static void
show_photo (GtkWidget *widget, const char *name, GVariant *parameter)
{
  RakeId id;

  if (!rake_id_from_text (g_variant_get_string (parameter, NULL), &id))
    return;
  rake_window_show_page (RAKE_WINDOW (widget), "photos");
  rake_photos_page_show_photo (RAKE_PHOTOS_PAGE (RAKE_WINDOW (widget)->photos), id);
}

static void
add_photos (GtkWidget *widget, const char *name, GVariant *parameter)
{
  g_autoptr (RakePhotoPlace) place = rake_window_get_photo_place (RAKE_WINDOW (widget));

  rake_photo_ways_choose (GTK_WINDOW (widget), get_session (widget), place);
}

static void
paste_photos (GtkWidget *widget, const char *name, GVariant *parameter)
{
  g_autoptr (RakePhotoPlace) place = rake_window_get_photo_place (RAKE_WINDOW (widget));

  rake_photo_ways_paste (widget, get_session (widget), place);
}

static void
watch_photos (GtkWidget *widget, const char *name, GVariant *parameter)
{
  rake_photo_bar_choose_folder (GTK_WINDOW (widget));
}

/* A photograph that does not lie on its face yet is laid there first. */
static void
read_photo (GtkWidget *widget, const char *name, GVariant *parameter)
{
  RakeWindow *self = RAKE_WINDOW (widget);
  const char *text = g_variant_get_string (parameter, NULL);
  const RakePhoto *photo;
  RakeId id;

  photo = rake_id_from_text (text, &id)
              ? rake_job_find_photo (rake_session_get_live_job (self->session), id)
              : NULL;
  if (!photo || photo->withdrawal)
    rake_window_tell (self, _ ("Not read"), _ ("That photograph is not in the job any more."));
  else if (!photo->face || !photo->registration)
    gtk_widget_activate_action (widget, "win.lay-photo", "s", text);
  else
    {
      rake_window_show_page (self, "read-photo");
      rake_proposals_page_read (RAKE_PROPOSALS_PAGE (self->proposals), photo->id);
    }
}

static void
show_report (GtkWidget *widget, const char *name, GVariant *parameter)
{
  rake_window_show_page (RAKE_WINDOW (widget), "report");
}

static void
show_camera (GtkWidget *widget, const char *name, GVariant *parameter)
{
  rake_window_show_page (RAKE_WINDOW (widget), "camera");
}

static void
show_record (GtkWidget *widget, const char *name, GVariant *parameter)
{
  rake_window_show_page (RAKE_WINDOW (widget), "record");
}

static void
show_on_record (GtkWidget *widget, const char *name, GVariant *parameter)
{
  RakeId id;

  if (!take_id (widget, parameter, &id))
    return;
  rake_window_show_page (RAKE_WINDOW (widget), "record");
  rake_record_page_show_thing (RAKE_RECORD_PAGE (RAKE_WINDOW (widget)->record), id);
}

static void
show_log (GtkWidget *widget, const char *name, GVariant *parameter)
{
  rake_log_window_present (GTK_WINDOW (widget), get_session (widget), RAKE_ID_NIL);
}

static void
map_place_chosen (GtkNativeDialog *dialog, int response, RakeWindow *self)
{
  const RakeFace *face = self->session ? rake_session_get_face (self->session) : NULL;

  if (response == GTK_RESPONSE_ACCEPT && face)
    {
      g_autoptr (GFile) file = gtk_file_chooser_get_file (GTK_FILE_CHOOSER (dialog));
      g_autofree char *path = g_file_get_path (file);
      g_autoptr (GPtrArray) judgements = rake_session_get_judgements (self->session, face);
      g_autoptr (GError) error = NULL;
      gboolean is_picture = path && g_str_has_suffix (path, ".png");
      if (!rake_map_write (path, rake_session_get_job (self->session), face,
                           (RakeJudgement *const *) judgements->pdata,
                           is_picture ? rake_theme_now () : RAKE_THEME_PAPER, MAP_PICTURE_PX,
                           rake_session_get_bench (self->session)->lamp_deg, &error))
        rake_window_tell (self, _ ("The map was not saved"), error->message);
    }
  g_clear_object (&self->chooser);
}

static void
save_map (GtkWidget *widget, const char *name, GVariant *parameter)
{
  RakeWindow *self = RAKE_WINDOW (widget);
  const RakeFace *face = rake_session_get_face (self->session);
  g_autofree char *file_name = NULL;

  if (!face)
    return;
  file_name = g_strdup_printf ("%s.png", face->name);
  g_clear_object (&self->chooser);
  self->chooser =
      gtk_file_chooser_native_new (_ ("Save the map as a picture, PDF or SVG"), GTK_WINDOW (self),
                                   GTK_FILE_CHOOSER_ACTION_SAVE, _ ("_Save"), NULL);
  gtk_native_dialog_set_modal (GTK_NATIVE_DIALOG (self->chooser), TRUE);
  gtk_file_chooser_set_current_name (GTK_FILE_CHOOSER (self->chooser), file_name);
  g_signal_connect (self->chooser, "response", G_CALLBACK (map_place_chosen), self);
  gtk_native_dialog_show (GTK_NATIVE_DIALOG (self->chooser));
}

static void
finisher_named (AdwMessageDialog *dialog, const char *response, GtkWidget *entry)
{
  const char *name = gtk_editable_get_text (GTK_EDITABLE (entry));

  if (g_str_equal (response, "keep"))
    rake_settings_set_text ("finisher", "name", *name ? name : NULL);
}

static void
name_finisher (GtkWidget *widget, const char *name, GVariant *parameter)
{
  GtkWidget *dialog = adw_message_dialog_new (
      GTK_WINDOW (widget), _ ("Who works at this bench?"),
      _ ("The name stands in every line that is added to a logbook from now on. Leave it empty to "
         "write none."));
  GtkWidget *entry = gtk_entry_new ();
  g_autofree char *now = rake_settings_get_text ("finisher", "name");

  gtk_editable_set_text (GTK_EDITABLE (entry), now ? now : "");
  gtk_entry_set_activates_default (GTK_ENTRY (entry), TRUE);
  gtk_accessible_update_property (GTK_ACCESSIBLE (entry), GTK_ACCESSIBLE_PROPERTY_LABEL, _ ("Name"),
                                  -1);
  adw_message_dialog_set_extra_child (ADW_MESSAGE_DIALOG (dialog), entry);
  adw_message_dialog_add_responses (ADW_MESSAGE_DIALOG (dialog), "cancel", _ ("_Cancel"), "keep",
                                    _ ("_Keep"), NULL);
  adw_message_dialog_set_response_appearance (ADW_MESSAGE_DIALOG (dialog), "keep",
                                              ADW_RESPONSE_SUGGESTED);
  adw_message_dialog_set_default_response (ADW_MESSAGE_DIALOG (dialog), "keep");
  adw_message_dialog_set_close_response (ADW_MESSAGE_DIALOG (dialog), "cancel");
  g_signal_connect_object (dialog, "response", G_CALLBACK (finisher_named), entry, 0);
  gtk_window_present (GTK_WINDOW (dialog));
}

/* --- at the bench ---------------------------------------------------------------------------- */

static void
undo (GtkWidget *widget, const char *name, GVariant *parameter)
{
  rake_session_undo (get_session (widget));
}

static void
redo (GtkWidget *widget, const char *name, GVariant *parameter)
{
  rake_session_redo (get_session (widget));
}

static void
show_now (GtkWidget *widget, const char *name, GVariant *parameter)
{
  rake_session_show_entries (get_session (widget), G_MAXUINT);
}

/* At a buff stage the wheel is asked for once, and again when it may not take the compound. */
static void
pass_with_wheel (RakeWindow *self)
{
  const RakeStage *stage = rake_session_is_in_the_past (self->session)
                               ? NULL
                               : rake_session_find_stage_to_ask (self->session);

  if (stage)
    rake_wheel_chooser_present (GTK_WINDOW (self), self->session, stage->id, TRUE);
  else
    rake_session_pass_done (self->session);
}

static void
choose_wheel (GtkWidget *widget, const char *name, GVariant *parameter)
{
  RakeSession *session = get_session (widget);
  const RakeZone *zone = rake_session_get_zone (session);

  if (zone && zone->stage)
    rake_wheel_chooser_present (GTK_WINDOW (widget), session, zone->stage->id, FALSE);
}

static void
pass_answered (AdwMessageDialog *dialog, const char *response, RakeWindow *self)
{
  if (self->session && g_str_equal (response, "pass"))
    pass_with_wheel (self);
}

/* Over-sanding cannot be undone on the piece, so it is asked about before it is written. */
static void
pass_done (GtkWidget *widget, const char *name, GVariant *parameter)
{
  RakeSession *session = get_session (widget);
  g_autofree char *warning = NULL;
  GtkWidget *dialog;

  if (!rake_session_check_work (session))
    return;
  warning = rake_session_warn_before_pass (session);
  if (!warning)
    {
      pass_with_wheel (RAKE_WINDOW (widget));
      return;
    }
  dialog = adw_message_dialog_new (GTK_WINDOW (widget), _ ("Another pass here?"), warning);
  adw_message_dialog_add_responses (ADW_MESSAGE_DIALOG (dialog), "leave", _ ("_Leave It Alone"),
                                    "pass", _ ("_Pass Anyway"), NULL);
  adw_message_dialog_set_response_appearance (ADW_MESSAGE_DIALOG (dialog), "pass",
                                              ADW_RESPONSE_DESTRUCTIVE);
  adw_message_dialog_set_default_response (ADW_MESSAGE_DIALOG (dialog), "leave");
  adw_message_dialog_set_close_response (ADW_MESSAGE_DIALOG (dialog), "leave");
  g_signal_connect_object (dialog, "response", G_CALLBACK (pass_answered), widget, 0);
  gtk_window_present (GTK_WINDOW (dialog));
}

static void
all_even (GtkWidget *widget, const char *name, GVariant *parameter)
{
  rake_session_all_even (get_session (widget));
}

static void
select_next (GtkWidget *widget, const char *name, GVariant *parameter)
{
  rake_session_select_suggested (get_session (widget));
}

static void
select_unsettled (GtkWidget *widget, const char *name, GVariant *parameter)
{
  rake_session_select_all_unsettled (get_session (widget));
}

static void
show_other_faults (GtkWidget *widget, const char *name, GVariant *parameter)
{
  rake_brush_bar_show_more (
      rake_bench_page_get_brushes (RAKE_BENCH_PAGE (RAKE_WINDOW (widget)->bench)));
}

static void
set_lamp (RakeSession *session, double lamp_deg)
{
  RakeBench bench = *rake_session_get_bench (session);

  bench.lamp_deg = lamp_deg;
  rake_session_set_bench (session, &bench);
}

static void
put_lamp_across (GtkWidget *widget, const char *name, GVariant *parameter)
{
  RakeSession *session = get_session (widget);

  set_lamp (session, rake_session_get_lamp_across_deg (session));
}

static void
turn_lamp (GtkWidget *widget, const char *name, GVariant *parameter)
{
  double lamp_deg = g_ascii_strtod (g_variant_get_string (parameter, NULL), NULL);

  if (isfinite (lamp_deg))
    set_lamp (get_session (widget), lamp_deg);
}

static void
fit (GtkWidget *widget, const char *name, GVariant *parameter)
{
  rake_face_map_fit (get_map (widget));
}

static void
select_zone (GtkWidget *widget, const char *name, GVariant *parameter)
{
  RakeId id;

  if (take_zone (widget, parameter, &id))
    rake_session_select_zone (get_session (widget), id, FALSE);
}

/* What a tap on the zone says. */
static void
say_brush (GtkWidget *widget, const char *name, GVariant *parameter)
{
  RakeSession *session = get_session (widget);
  RakeState state = RAKE_STATE_UNIFORM;
  RakeId id;

  if (!take_zone (widget, parameter, &id))
    return;
  if (!rake_session_get_bench (session)->brush_is_uniform)
    state = rake_brush_get_state (rake_session_get_bench (session));
  rake_session_select_zone (session, id, FALSE);
  if (state != RAKE_STATE_UNSAID)
    rake_session_say_state (session, id, state, NAN, NAN);
}

/* --- what asks first ------------------------------------------------------------------------- */

static void
accept (GtkWidget *widget, const char *name, GVariant *parameter)
{
  RakeId id;

  if (take_zone (widget, parameter, &id) && rake_session_check_work (get_session (widget)))
    rake_dialogs_accept (GTK_WINDOW (widget), get_session (widget), id);
}

static void
repair (GtkWidget *widget, const char *name, GVariant *parameter)
{
  RakeId id;

  if (take_zone (widget, parameter, &id) && rake_session_check_work (get_session (widget)))
    rake_dialogs_repair (GTK_WINDOW (widget), get_session (widget), id);
}

static void
read_instruments (GtkWidget *widget, const char *name, GVariant *parameter)
{
  RakeId id;

  if (take_zone (widget, parameter, &id))
    rake_dialogs_reading (GTK_WINDOW (widget), get_session (widget), id);
}

static void
tell_zone_facts (GtkWidget *widget, const char *name, GVariant *parameter)
{
  RakeId id;

  if (take_zone (widget, parameter, &id))
    rake_dialogs_zone_facts (GTK_WINDOW (widget), get_session (widget), id);
}

static void
say_share (GtkWidget *widget, const char *name, GVariant *parameter)
{
  RakeId id;

  if (take_zone (widget, parameter, &id))
    rake_dialogs_say_share (GTK_WINDOW (widget), get_session (widget), id);
}

static void
note (GtkWidget *widget, const char *name, GVariant *parameter)
{
  RakeId about = RAKE_ID_NIL; /* the job, when nothing is selected */

  take_id (widget, parameter, &about);
  rake_dialogs_note (GTK_WINDOW (widget), get_session (widget), about);
}

static void
keep (GtkWidget *widget, const char *name, GVariant *parameter)
{
  RakeId about;

  if (take_id (widget, parameter, &about) && rake_session_check_work (get_session (widget)))
    rake_defect_dialog_present (GTK_WINDOW (widget), get_session (widget), about);
}

static void
claim (GtkWidget *widget, const char *name, GVariant *parameter)
{
  RakeId about;

  if (take_id (widget, parameter, &about))
    rake_claim_dialog_present (GTK_WINDOW (widget), get_session (widget), about);
}

static void
strike (GtkWidget *widget, const char *name, GVariant *parameter)
{
  RakeId id;

  if (take_id (widget, parameter, &id))
    rake_dialogs_strike (GTK_WINDOW (widget), get_session (widget), id);
}

static void
begin_stage (GtkWidget *widget, const char *name, GVariant *parameter)
{
  RakeId id;

  if (take_id (widget, parameter, &id) && rake_session_check_work (get_session (widget)))
    rake_dialogs_begin_stage (GTK_WINDOW (widget), get_session (widget), id);
}

static void
say_still_there (GtkWidget *widget, const char *name, GVariant *parameter)
{
  RakeId id;

  if (take_id (widget, parameter, &id))
    rake_session_revisit (get_session (widget), id, RAKE_OUTCOME_STILL_THERE);
}

static void
say_gone (GtkWidget *widget, const char *name, GVariant *parameter)
{
  RakeId id;

  if (take_id (widget, parameter, &id))
    rake_session_revisit (get_session (widget), id, RAKE_OUTCOME_GONE);
}

/* --- installing ------------------------------------------------------------------------------ */

typedef enum
{
  ALWAYS,
  WITH_JOB,   /* a job is at the bench, whichever page is shown */
  AT_BENCH,   /* and the bench is shown */
  WRITES,     /* at the bench, now, and the file may be written */
  WRITES_ANYWHERE, /* the same, whichever page is shown */
} When;

static const struct
{
  const char *name;
  const char *parameter_type;
  GtkWidgetActionActivateFunc activate;
  When when;
} actions[] = {
  { "win.open-job", "s", open_job, ALWAYS },
  { "win.choose-job", NULL, choose_job, ALWAYS },
  { "win.new-job", NULL, show_new_job, ALWAYS },
  { "win.back-to-shelf", NULL, go_back_to_shelf, ALWAYS },
  { "win.name-finisher", NULL, name_finisher, ALWAYS },
  { "win.show-bench", NULL, show_bench, WITH_JOB },
  { "win.edit-zones", NULL, edit_zones, WITH_JOB },
  { "win.plan-grits", NULL, plan_grits, WITH_JOB },
  { "win.show-wheels", NULL, show_wheels, WITH_JOB },
  { "win.show-photos", NULL, show_photos, WITH_JOB },
  { "win.show-photo", "s", show_photo, WITH_JOB },
  { "win.watch-photos", NULL, watch_photos, WITH_JOB },
  { "win.add-photos", NULL, add_photos, WRITES_ANYWHERE },
  { "win.paste-photos", NULL, paste_photos, WRITES_ANYWHERE },
  { "win.lay-photo", "s", rake_window_lay_photo, WITH_JOB },
  { "win.compare-photos", "s", rake_window_compare_photos, WITH_JOB },
  { "win.read-photo", "s", read_photo, WITH_JOB },
  { "win.show-report", NULL, show_report, WITH_JOB },
  { "win.camera", NULL, show_camera, WITH_JOB },
  { "win.show-record", NULL, show_record, WITH_JOB },
  { "win.show-on-record", "s", show_on_record, WITH_JOB },
  { "win.save-map", NULL, save_map, WITH_JOB },
  { "win.show-log", NULL, show_log, WITH_JOB },
  { "win.show-now", NULL, show_now, WITH_JOB },
  { "win.undo", NULL, undo, WITH_JOB },
  { "win.redo", NULL, redo, WITH_JOB },
  { "win.next-zone", NULL, select_next, AT_BENCH },
  { "win.select-unsettled", NULL, select_unsettled, AT_BENCH },
  { "win.select-zone", "s", select_zone, AT_BENCH },
  { "win.show-other-faults", NULL, show_other_faults, AT_BENCH },
  { "win.lamp-across", NULL, put_lamp_across, AT_BENCH },
  { "win.turn-lamp", "s", turn_lamp, AT_BENCH },
  { "win.fit", NULL, fit, AT_BENCH },
  { "win.photo-under", NULL, rake_window_toggle_photo_under, AT_BENCH },
  { "win.pass-done", NULL, pass_done, WRITES },
  { "win.choose-wheel", NULL, choose_wheel, WRITES },
  { "win.all-even", NULL, all_even, WRITES },
  { "win.say-brush", "s", say_brush, WRITES },
  { "win.accept", "s", accept, WRITES },
  { "win.repair", "s", repair, WRITES },
  { "win.reading", "s", read_instruments, WRITES },
  { "win.zone-facts", "s", tell_zone_facts, WITH_JOB },
  { "win.say-share", "s", say_share, WRITES },
  { "win.note", "s", note, WRITES },
  { "win.keep", "s", keep, WRITES },
  { "win.claim", "s", claim, WRITES },
  { "win.strike", "s", strike, WRITES },
  { "win.begin-stage", "s", begin_stage, WRITES },
  { "win.still-there", "s", say_still_there, WRITES },
  { "win.gone", "s", say_gone, WRITES },
};

static gboolean
is_open_to (RakeWindow *self, When when)
{
  const char *page = gtk_stack_get_visible_child_name (GTK_STACK (self->pages));

  switch (when)
    {
    case WITH_JOB:
      return self->session != NULL;
    case AT_BENCH:
      return self->session && g_strcmp0 (page, "bench") == 0;
    case WRITES:
      return self->session && g_strcmp0 (page, "bench") == 0 &&
             !rake_session_is_in_the_past (self->session) &&
             !rake_session_is_read_only (self->session);
    case WRITES_ANYWHERE:
      return self->session && !rake_session_is_in_the_past (self->session) &&
             !rake_session_is_read_only (self->session);
    case ALWAYS:
    default:
      return TRUE;
    }
}

/* What would be undone is said where the button is. */
static void
show_undo (GtkWidget *button, const char *verb, const char *what)
{
  g_autofree char *words = what ? g_strdup_printf ("%s: %s", verb, what) : g_strdup (verb);

  gtk_widget_set_tooltip_text (button, words);
}

void
rake_window_update_actions (RakeWindow *self)
{
  RakeSession *session = self->session;
  g_autofree char *undone = session ? rake_session_describe_undo (session) : NULL;
  g_autofree char *redone = session ? rake_session_describe_redo (session) : NULL;

  for (guint i = 0; i < G_N_ELEMENTS (actions); i++)
    gtk_widget_action_set_enabled (GTK_WIDGET (self), actions[i].name,
                                   is_open_to (self, actions[i].when));
  gtk_widget_action_set_enabled (GTK_WIDGET (self), "win.undo", undone != NULL);
  gtk_widget_action_set_enabled (GTK_WIDGET (self), "win.redo", redone != NULL);
  show_undo (self->undo, _ ("Undo"), undone);
  show_undo (self->redo, _ ("Redo"), redone);
}

void
rake_window_install_actions (GtkWidgetClass *widget_class)
{
  for (guint i = 0; i < G_N_ELEMENTS (actions); i++)
    gtk_widget_class_install_action (widget_class, actions[i].name, actions[i].parameter_type,
                                     actions[i].activate);
  gtk_widget_class_install_property_action (widget_class, "win.brush", "brush");
}

/* --- keys ------------------------------------------------------------------------------------ */

static const struct
{
  const char *trigger;
  const char *action;
  const char *target; /* NULL: none */
} keys[] = {
  { "Return|KP_Enter", "win.pass-done", NULL },
  { "space", "win.all-even", NULL },
  { "7|KP_7", "win.show-other-faults", NULL },
  { "n", "win.next-zone", NULL },
  { "l", "win.lamp-across", NULL },
  { "a", "win.accept", "" },
  { "g", "win.say-share", "" },
  { "t", "win.note", "" },
  { "r", "win.repair", "" },
  { "f", "win.reading", "" },
  { "k", "win.keep", "" },
  { "<Control>a", "win.select-unsettled", NULL },
  { "<Control>l", "win.show-log", NULL },
  { "<Control>g", "win.plan-grits", NULL },
  { "<Control>b", "win.show-wheels", NULL },
  { "p", "win.show-photos", NULL },
  { "u", "win.photo-under", NULL },
  { "<Control>v", "win.paste-photos", NULL },
  { "<Control>r", "win.lay-photo", "" },
  { "<Control>e", "win.compare-photos", "" },
  { "<Control>p", "win.show-report", NULL },
  { "<Control>k", "win.camera", NULL },
  { "<Control>d", "win.show-record", NULL },
  { "<Control>z", "win.undo", NULL },
  { "<Control><Shift>z|<Control>y", "win.redo", NULL },
  { "<Alt>Left", "win.back-to-shelf", NULL },
  { "<Control>n", "win.new-job", NULL },
  { "<Control>o", "win.choose-job", NULL },
};

static void
add_key (GtkEventController *controller, const char *trigger, const char *action,
         const char *target)
{
  GtkShortcut *shortcut =
      gtk_shortcut_new (gtk_shortcut_trigger_parse_string (trigger), gtk_named_action_new (action));

  if (target)
    gtk_shortcut_set_arguments (shortcut, g_variant_new_string (target));
  gtk_shortcut_controller_add_shortcut (GTK_SHORTCUT_CONTROLLER (controller), shortcut);
}

/* In the bubble phase: whoever has the focus is asked first, so that letters typed into an entry
 * are text and Enter on a button presses it. */
void
rake_window_add_keys (RakeWindow *self)
{
  GtkEventController *controller = gtk_shortcut_controller_new ();

  gtk_event_controller_set_propagation_phase (controller, GTK_PHASE_BUBBLE);
  for (guint i = 0; i < G_N_ELEMENTS (keys); i++)
    add_key (controller, keys[i].trigger, keys[i].action, keys[i].target);
  for (guint i = 0; i < RAKE_N_STATE_BRUSHES; i++)
    {
      g_autofree char *trigger = g_strdup_printf ("%u|KP_%u", i + 1, i + 1);
      add_key (controller, trigger, "win.brush", rake_brush_get_word (i));
    }
  gtk_widget_add_controller (GTK_WIDGET (self), controller);
}
