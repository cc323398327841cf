/* zone-record.c - what was done to a zone and seen on it. */
#include "zone-record.h"
#include "defect-list.h"
#include "pass-chart.h"
#include "record-row.h"
#include "say.h"
#include "slip-section.h"

#include <math.h>
#include "words.h"

#define MAX_ROWS 12

struct _RakeZoneRecord
{
  GtkWidget parent_instance;

  RakeSession *session;
  RakeId zone;
  GtkWidget *content, *chart_box;
  RakePassChart *chart;
  RakeSlipSection *passes, *looks, *marks, *defects, *decisions, *readings, *notes;
};

G_DEFINE_FINAL_TYPE (RakeZoneRecord, rake_zone_record, GTK_TYPE_WIDGET)

static const RakeZone *
find_zone (RakeZoneRecord *self)
{
  return self->session ? rake_job_find_zone (rake_session_get_job (self->session), self->zone)
                       : NULL;
}

static void
add_way_to_log (RakeSlipSection *section)
{
  GtkWidget *button = gtk_button_new_with_label (_ ("All in the logbook…"));

  gtk_actionable_set_action_name (GTK_ACTIONABLE (button), "slip.show-log");
  gtk_widget_set_focus_on_click (button, FALSE);
  gtk_widget_add_css_class (button, "row-button");
  gtk_widget_set_halign (button, GTK_ALIGN_START);
  rake_slip_section_add (section, button);
}

static char *
join (const char *one, const char *other)
{
  if (!one || !*one)
    return g_strdup (other ? other : "");
  if (!other || !*other)
    return g_strdup (one);
  return g_strconcat (one, " · ", other, NULL);
}

static char *
say_when (const RakeEntry *entry)
{
  return rake_say_when (entry, rake_session_now_ms ());
}

/* --- passes ---------------------------------------------------------------------------------- */

static const char *
find_grade (const RakeZone *zone, RakeId stage_id)
{
  for (guint i = 0; i < zone->face->stages->len; i++)
    {
      const RakeStage *stage = zone->face->stages->pdata[i];

      if (rake_id_equal (stage->id, stage_id))
        return rake_say_grade (stage);
    }
  return "?"; /* a stage that a later schedule left out */
}

static char *
say_pass_detail (const RakeShareTold *told)
{
  g_autofree char *when = say_when (told->pass);
  g_autofree char *with =
      join (rake_say_paper (told->pass->pass.paper), rake_say_wipe (told->pass->pass.wiped_with));
  g_autofree char *how = join (when, with);
  g_autofree char *share = rake_say_low_share (told->low_spot_fraction);
  g_autofree char *after = NULL;

  if (share)
    /* Translators: what was seen after a pass: "14 % glossy after it". */
    after = g_strdup_printf (_ ("%s glossy after it"), share);
  return join (how, after);
}

/* Of the passes at its stage since the last coat, from 1. */
static guint
find_number (GArray *shares, guint index)
{
  const RakeEntry *pass = g_array_index (shares, RakeShareTold, index).pass;
  guint number = 1;

  for (guint i = 1; i < index; i++)
    if (rake_id_equal (g_array_index (shares, RakeShareTold, i).pass->pass.stage, pass->pass.stage))
      number++;
  return number;
}

static void
add_pass (RakeZoneRecord *self, const RakeZone *zone, GArray *shares, guint index)
{
  const RakeShareTold *told = &g_array_index (shares, RakeShareTold, index);
  /* Translators: "Pass 3 at P800". */
  g_autofree char *title = g_strdup_printf (_ ("Pass %u at %s"), find_number (shares, index),
                                            find_grade (zone, told->pass->pass.stage));
  g_autofree char *detail = say_pass_detail (told);
  GtkWidget *row = rake_record_row_new (title, detail);

  rake_picture_show_strokes (rake_record_row_get_picture (RAKE_RECORD_ROW (row)),
                             told->pass->pass.stroke_deg);
  rake_record_row_offer_strike (RAKE_RECORD_ROW (row), told->pass->id);
  rake_slip_section_add (self->passes, row);
}

static GArray *
take_shares (RakeZoneRecord *self, const RakeZone *zone)
{
  return rake_facts_take_shares (rake_session_get_job (self->session), zone,
                                 rake_rules_get_limits (rake_session_get_rules (self->session)));
}

static void
fill_passes (RakeZoneRecord *self)
{
  const RakeZone *zone = find_zone (self);
  g_autoptr (GArray) shares = zone ? take_shares (self, zone) : NULL;
  guint n_added = 0;

  for (guint i = shares ? shares->len : 0; i-- > 1;)
    {
      if (++n_added > MAX_ROWS)
        {
          add_way_to_log (self->passes);
          break;
        }
      add_pass (self, zone, shares, i);
    }
}

static void
show_chart (RakeZoneRecord *self, const RakeZone *zone, GArray *shares)
{
  const RakeJudgement *judgement = rake_session_get_judgement (self->session, zone);
  double limit_fraction = NAN;

  if (judgement && judgement->facts.knowledge[RAKE_FACT_LOW_SPOT_LIMIT] == RAKE_KNOWN)
    limit_fraction = judgement->facts.value[RAKE_FACT_LOW_SPOT_LIMIT];
  gtk_widget_set_visible (self->chart_box,
                          rake_pass_chart_show (self->chart, zone, shares, limit_fraction));
}

/* --- looks ----------------------------------------------------------------------------------- */

static char *
say_state (const RakeStateBody *state)
{
  const char *word = _ (rake_state_get_label (state->state));
  g_autofree char *share = rake_say_low_share (state->low_spot_fraction);

  if (!share)
    return g_strdup (word);
  if (isfinite (state->largest_island_mm))
    {
      g_autofree char *island = rake_say_length (state->largest_island_mm);

      /* Translators: a state, its share of the zone, the largest island: "Low spot, 14 %, 9 mm". */
      return g_strdup_printf (_ ("%s, %s, largest %s"), word, share, island);
    }
  return g_strdup_printf (C_ ("state", "%s, %s"), word, share);
}

/* What was said and marked in a look; @state is what the zone as a whole showed. */
static char *
say_findings (const RakeZone *zone, const RakeEntry *look, RakeState *state)
{
  g_autofree char *said = NULL;
  g_autofree char *marked = NULL;
  guint n_marks = 0;

  for (guint i = 0; i < zone->history->len; i++)
    {
      const RakeEntry *entry = zone->history->pdata[i];

      if (entry->kind == RAKE_ENTRY_STATE && rake_id_equal (entry->state.look, look->id))
        {
          g_free (said);
          said = say_state (&entry->state);
          *state = entry->state.state;
        }
      else if (entry->kind == RAKE_ENTRY_MARK && rake_id_equal (entry->mark.look, look->id))
        n_marks++;
    }
  if (n_marks)
    marked = g_strdup_printf (ngettext ("%u mark", "%u marks", n_marks), n_marks);
  if (!said && !marked)
    return g_strdup (_ ("Nothing said"));
  return join (said, marked);
}

static void
add_look (RakeZoneRecord *self, const RakeZone *zone, const RakeEntry *look)
{
  RakeState state = RAKE_STATE_UNSAID;
  g_autofree char *title = say_findings (zone, look, &state);
  g_autofree char *how = rake_say_look (&look->look);
  g_autofree char *when = say_when (look);
  g_autofree char *detail = join (when, how);
  GtkWidget *row = rake_record_row_new (title, detail);

  rake_picture_show_lamp (rake_record_row_get_picture (RAKE_RECORD_ROW (row)), look->look.lamp_deg);
  rake_record_row_offer_strike (RAKE_RECORD_ROW (row), look->id);
  rake_slip_section_add (self->looks, row);
}

static void
fill_looks (RakeZoneRecord *self)
{
  const RakeZone *zone = find_zone (self);
  guint n_added = 0;

  for (guint i = zone ? zone->history->len : 0; i-- > 0;)
    {
      const RakeEntry *entry = zone->history->pdata[i];

      if (entry->kind != RAKE_ENTRY_LOOK)
        continue;
      if (++n_added > MAX_ROWS)
        {
          add_way_to_log (self->looks);
          break;
        }
      add_look (self, zone, entry);
    }
}

/* --- marks ----------------------------------------------------------------------------------- */

static char *
say_fate (const RakeMark *mark)
{
  g_autofree char *when = mark->closed_by ? say_when (mark->closed_by) : NULL;

  if (!mark->closed_by)
    return g_strdup (C_ ("mark", "open"));
  return g_strdup_printf (mark->was_repaired ? _ ("repaired %s") : _ ("gone %s"), when);
}

static void
add_mark (RakeZoneRecord *self, const RakeMark *mark)
{
  g_autofree char *title = rake_say_mark (mark);
  g_autofree char *when = say_when (mark->entry);
  g_autofree char *fate = say_fate (mark);
  g_autofree char *found =
      mark->stage ? g_strdup_printf (_ ("found at %s, %s"), rake_say_grade (mark->stage), when)
                  : g_strdup_printf (_ ("found %s"), when);
  g_autofree char *how = join (fate, found);
  g_autofree char *detail = join (how, mark->entry->mark.cause);
  GtkWidget *row = rake_record_row_new (title, detail);

  rake_picture_show_mark (rake_record_row_get_picture (RAKE_RECORD_ROW (row)), mark->kind);
  rake_record_row_set_quiet (RAKE_RECORD_ROW (row), mark->closed_by != NULL);
  rake_record_row_offer_strike (RAKE_RECORD_ROW (row), mark->entry->id);
  rake_slip_section_add (self->marks, row);
}

/* Open ones first: they are what holds the zone. */
static void
fill_marks (RakeZoneRecord *self)
{
  const RakeZone *zone = find_zone (self);
  guint n_added = 0;

  for (int is_closed = FALSE; zone && is_closed <= TRUE; is_closed++)
    for (guint i = zone->marks->len; i-- > 0;)
      {
        const RakeMark *mark = zone->marks->pdata[i];

        if ((mark->closed_by != NULL) != is_closed)
          continue;
        if (++n_added > MAX_ROWS)
          {
            add_way_to_log (self->marks);
            return;
          }
        add_mark (self, mark);
      }
}

/* --- repairs and acceptances, readings ------------------------------------------------------- */

static void
add_decision (RakeZoneRecord *self, const RakeEntry *entry)
{
  g_autofree char *when = say_when (entry);
  g_autofree char *by = join (when, entry->who);
  g_autofree char *title = NULL;
  g_autofree char *detail = NULL;
  RakeVerdict glyph = RAKE_VERDICT_REPAIR;
  GtkWidget *row;

  if (entry->kind == RAKE_ENTRY_ACCEPTANCE)
    {
      title =
          g_strdup_printf (_ ("Accepted over: %s"), rake_say_verdict (entry->acceptance.verdict));
      detail = join (by, entry->acceptance.reason);
      glyph = entry->acceptance.verdict;
    }
  else
    {
      title = g_strdup (rake_say_repair_method (entry->repair.method));
      detail = join (by, entry->repair.outcome);
    }
  row = rake_record_row_new (title, detail);
  rake_picture_show_verdict (rake_record_row_get_picture (RAKE_RECORD_ROW (row)), glyph);
  rake_record_row_offer_strike (RAKE_RECORD_ROW (row), entry->id);
  rake_slip_section_add (self->decisions, row);
}

static gboolean
is_decision (const RakeEntry *entry)
{
  return entry->kind == RAKE_ENTRY_ACCEPTANCE || entry->kind == RAKE_ENTRY_REPAIR;
}

static void
fill_decisions (RakeZoneRecord *self)
{
  const RakeZone *zone = find_zone (self);

  for (guint i = zone ? zone->history->len : 0; i-- > 0;)
    if (is_decision (zone->history->pdata[i]))
      add_decision (self, zone->history->pdata[i]);
}

static void
fill_defects (RakeZoneRecord *self)
{
  const RakeZone *zone = find_zone (self);
  g_autoptr (GPtrArray) defects =
      zone ? rake_defects_list_of_zone (rake_session_get_job (self->session), zone) : NULL;

  for (guint i = defects ? defects->len : 0; i-- > 0;)
    {
      const RakeDefect *defect = defects->pdata[i];
      g_autofree char *detail = join (_ (rake_standing_get_label (defect->told->defect.standing)),
                                      defect->told->defect.severity);
      GtkWidget *row = rake_record_row_new (defect->what, detail);

      rake_record_row_add_button (RAKE_RECORD_ROW (row), _ ("On record…"), NULL,
                                  "win.show-on-record", defect->id);
      rake_slip_section_add (self->defects, row);
    }
}

static char *
say_reading (const RakeReadingBody *reading)
{
  switch (reading->quantity)
    {
    case RAKE_QUANTITY_FILM_UM:
      return g_strdup_printf (C_ ("reading", "Film %.0f µm"), reading->value);
    case RAKE_QUANTITY_GLOSS_GU:
      return isfinite (reading->angle_deg)
                 ? g_strdup_printf (C_ ("reading", "Gloss %.0f GU at %.0f°"), reading->value,
                                    reading->angle_deg)
                 : g_strdup_printf (C_ ("reading", "Gloss %.0f GU"), reading->value);
    case RAKE_QUANTITY_TEMPERATURE_CELSIUS:
      return g_strdup_printf (C_ ("reading", "Surface %.0f °C"), reading->value);
    case RAKE_QUANTITY_UNSAID:
    default:
      return g_strdup_printf ("%.1f", reading->value);
    }
}

static void
fill_readings (RakeZoneRecord *self)
{
  const RakeZone *zone = find_zone (self);
  guint n_added = 0;

  for (guint i = zone ? zone->history->len : 0; i-- > 0;)
    {
      const RakeEntry *entry = zone->history->pdata[i];
      g_autofree char *title = NULL;
      g_autofree char *when = NULL;
      g_autofree char *detail = NULL;
      GtkWidget *row;

      if (entry->kind != RAKE_ENTRY_READING)
        continue;
      if (++n_added > MAX_ROWS)
        {
          add_way_to_log (self->readings);
          break;
        }
      title = say_reading (&entry->reading);
      when = say_when (entry);
      detail = join (when, entry->reading.instrument);
      row = rake_record_row_new (title, detail);
      rake_record_row_offer_strike (RAKE_RECORD_ROW (row), entry->id);
      rake_slip_section_add (self->readings, row);
    }
}

/* --- notes ----------------------------------------------------------------------------------- */

/* Notes are no part of a zone's history: they judge nothing. */
static gboolean
is_note_on (const RakeJob *job, const RakeZone *zone, const RakeEntry *entry)
{
  if (entry->kind != RAKE_ENTRY_NOTE || rake_job_is_struck (job, entry->id))
    return FALSE;
  if (rake_id_equal (entry->note.about, zone->id))
    return TRUE;
  for (guint i = 0; i < zone->marks->len; i++)
    if (rake_id_equal (((const RakeMark *) zone->marks->pdata[i])->entry->id, entry->note.about))
      return TRUE;
  return FALSE;
}

static void
fill_notes (RakeZoneRecord *self)
{
  const RakeZone *zone = find_zone (self);
  const RakeJob *job = zone ? rake_session_get_job (self->session) : NULL;

  for (guint i = job ? rake_job_get_n_entries (job) : 0; i-- > 0;)
    {
      const RakeEntry *entry = rake_job_get_entry (job, i);
      g_autofree char *when = NULL;
      g_autofree char *detail = NULL;
      GtkWidget *row;

      if (!is_note_on (job, zone, entry))
        continue;
      when = say_when (entry);
      detail = join (when, entry->who);
      row = rake_record_row_new (entry->note.text, detail);
      rake_record_row_offer_strike (RAKE_RECORD_ROW (row), entry->id);
      rake_slip_section_add (self->notes, row);
    }
}

/* --- all ------------------------------------------------------------------------------------- */

static guint
count_entries (const RakeZone *zone, RakeEntryKind one, RakeEntryKind other)
{
  guint n_entries = 0;

  for (guint i = 0; i < zone->history->len; i++)
    {
      const RakeEntry *entry = zone->history->pdata[i];

      if (entry->kind == one || entry->kind == other)
        n_entries++;
    }
  return n_entries;
}

static guint
count_notes (const RakeJob *job, const RakeZone *zone)
{
  guint n_notes = 0;

  for (guint i = 0; i < rake_job_get_n_entries (job); i++)
    if (is_note_on (job, zone, rake_job_get_entry (job, i)))
      n_notes++;
  return n_notes;
}

void
rake_zone_record_show (RakeZoneRecord *self, RakeSession *session, const RakeZone *zone)
{
  g_autoptr (GArray) shares = NULL;
  g_autoptr (GPtrArray) defects = NULL;

  g_set_object (&self->session, session);
  gtk_widget_set_visible (self->content, zone != NULL);
  self->zone = zone ? zone->id : RAKE_ID_NIL;
  if (!zone)
    return;
  shares = take_shares (self, zone);
  defects = rake_defects_list_of_zone (rake_session_get_job (session), zone);
  show_chart (self, zone, shares);
  rake_slip_section_show (self->passes, C_ ("record", "Passes"), shares->len - 1);
  rake_slip_section_show (self->looks, C_ ("record", "Looks"),
                          count_entries (zone, RAKE_ENTRY_LOOK, RAKE_ENTRY_LOOK));
  rake_slip_section_show (self->marks, C_ ("record", "Marks"), zone->marks->len);
  rake_slip_section_show (self->defects, C_ ("record", "Defects"), defects->len);
  rake_slip_section_show (self->decisions, C_ ("record", "Repairs and acceptances"),
                          count_entries (zone, RAKE_ENTRY_REPAIR, RAKE_ENTRY_ACCEPTANCE));
  rake_slip_section_show (self->readings, C_ ("record", "Readings"),
                          count_entries (zone, RAKE_ENTRY_READING, RAKE_ENTRY_READING));
  rake_slip_section_show (self->notes, C_ ("record", "Notes"),
                          count_notes (rake_session_get_job (session), zone));
}

static void
rake_zone_record_dispose (GObject *object)
{
  g_clear_object (&RAKE_ZONE_RECORD (object)->session);
  gtk_widget_dispose_template (GTK_WIDGET (object), RAKE_TYPE_ZONE_RECORD);
  G_OBJECT_CLASS (rake_zone_record_parent_class)->dispose (object);
}

static void
rake_zone_record_class_init (RakeZoneRecordClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  G_OBJECT_CLASS (klass)->dispose = rake_zone_record_dispose;
  g_type_ensure (RAKE_TYPE_PASS_CHART);
  g_type_ensure (RAKE_TYPE_SLIP_SECTION);
  gtk_widget_class_set_css_name (widget_class, "zonerecord");
  gtk_widget_class_set_accessible_role (widget_class, GTK_ACCESSIBLE_ROLE_GROUP);
  gtk_widget_class_set_template_from_resource (widget_class, RAKE_UI_PATH "zone-record.ui");
  gtk_widget_class_bind_template_child (widget_class, RakeZoneRecord, content);
  gtk_widget_class_bind_template_child (widget_class, RakeZoneRecord, chart_box);
  gtk_widget_class_bind_template_child (widget_class, RakeZoneRecord, chart);
  gtk_widget_class_bind_template_child (widget_class, RakeZoneRecord, passes);
  gtk_widget_class_bind_template_child (widget_class, RakeZoneRecord, looks);
  gtk_widget_class_bind_template_child (widget_class, RakeZoneRecord, marks);
  gtk_widget_class_bind_template_child (widget_class, RakeZoneRecord, defects);
  gtk_widget_class_bind_template_child (widget_class, RakeZoneRecord, decisions);
  gtk_widget_class_bind_template_child (widget_class, RakeZoneRecord, readings);
  gtk_widget_class_bind_template_child (widget_class, RakeZoneRecord, notes);
  gtk_widget_class_bind_template_callback (widget_class, fill_passes);
  gtk_widget_class_bind_template_callback (widget_class, fill_looks);
  gtk_widget_class_bind_template_callback (widget_class, fill_marks);
  gtk_widget_class_bind_template_callback (widget_class, fill_defects);
  gtk_widget_class_bind_template_callback (widget_class, fill_decisions);
  gtk_widget_class_bind_template_callback (widget_class, fill_readings);
  gtk_widget_class_bind_template_callback (widget_class, fill_notes);
}

static void
rake_zone_record_init (RakeZoneRecord *self)
{
  gtk_widget_init_template (GTK_WIDGET (self));
}
