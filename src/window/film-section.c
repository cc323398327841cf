/* film-section.c - the film of the zone in the slip. */
#include "film-section.h"
#include "film-picture.h"
#include "record-row.h"
#include "say.h"

#include <math.h>
#include <rakelight/paper.h>
#include <rakelight/units.h>

#include "words.h"

/* One row of risks: of the reserve, or of the line under the last coat. */
typedef struct
{
  GtkWidget *name, *now, *next, *end;
} RiskRow;

struct _RakeFilmSection
{
  GtkWidget parent_instance;

  GtkWidget *content, *picture, *unknown, *risks, *forecast, *paper, *nominal, *nominal_of_face,
      *ledger, *lines;
  RiskRow reserve, last_coat;
  RakeSession *session; /* not owned; as given with the zone */
  RakeId zone;
};

G_DEFINE_FINAL_TYPE (RakeFilmSection, rake_film_section, GTK_TYPE_WIDGET)

/* --- risks --------------------------------------------------------------------------------------- */

/* "0.2 %"; what is next to nothing is not shown as nothing. */
static char *
say_risk (double risk)
{
  if (!isfinite (risk))
    return g_strdup ("–");
  if (risk < 0.0005)
    return g_strdup_printf (_ ("under %.1f\u00a0%%"), 0.1);
  return g_strdup_printf (risk < 0.0995 ? _ ("%.1f\u00a0%%") : _ ("%.0f\u00a0%%"), 100 * risk);
}

/* Over the limit it is bold, in the colour of stop, and says so in a word. */
static void
show_risk (GtkWidget *label, double risk, double limit)
{
  g_autofree char *share = say_risk (risk);
  gboolean is_over = risk > limit;
  g_autofree char *text = is_over ? g_strdup_printf (_ ("%s, over"), share) : NULL;

  gtk_label_set_label (GTK_LABEL (label), text ? text : share);
  if (is_over)
    gtk_widget_add_css_class (label, "over-limit");
  else
    gtk_widget_remove_css_class (label, "over-limit");
}

static void
show_row (RiskRow *row, double now, double next, double end, double limit)
{
  show_risk (row->now, now, limit);
  show_risk (row->next, next, limit);
  show_risk (row->end, end, limit);
}

static void
set_row_visible (RiskRow *row, gboolean is_visible)
{
  gtk_widget_set_visible (row->name, is_visible);
  gtk_widget_set_visible (row->now, is_visible);
  gtk_widget_set_visible (row->next, is_visible);
  gtk_widget_set_visible (row->end, is_visible);
}

static void
show_risks (RakeFilmSection *self, const RakeFilm *film, double limit)
{
  gboolean is_known = film->standing == RAKE_FILM_KNOWN;
  g_autofree char *reserve =
      isfinite (film->reserve_um) ? rake_units_to_text (RAKE_MEASURE_FILM, film->reserve_um) : NULL;
  /* Translators: %s is a film: "under the reserve of 40 µm". */
  g_autofree char *name = reserve ? g_strdup_printf (_ ("under the reserve of %s"), reserve) : NULL;

  gtk_widget_set_visible (self->risks, is_known);
  gtk_label_set_label (GTK_LABEL (self->reserve.name), name ? name : _ ("through the film"));
  show_row (&self->reserve, film->risk_now, film->risk_after_next_pass, film->risk_at_end, limit);
  set_row_visible (&self->last_coat, isfinite (film->last_coat.mean));
  show_row (&self->last_coat, film->last_coat_risk_now, film->last_coat_risk_after_next_pass,
            film->last_coat_risk_at_end, limit);
}

/* --- against the nominal film --------------------------------------------------------------------- */

/* What does not pass stands out; its words say so, too. */
void
rake_nominal_check_show (const RakeNominalCheck *check, const char *where, GtkWidget *label)
{
  g_autofree char *sentence = check ? rake_nominal_check_describe (check, where) : NULL;

  gtk_label_set_label (GTK_LABEL (label), sentence ? sentence : "");
  gtk_widget_set_visible (label, sentence != NULL);
  if (sentence && check->faults != RAKE_ACCEPTANCE_PASSES)
    gtk_widget_add_css_class (label, "caution");
  else
    gtk_widget_remove_css_class (label, "caution");
}

/* The face is told beside the zone where it was read elsewhere, too. */
static void
show_nominal (RakeFilmSection *self, const RakeJob *job, const RakeZone *zone)
{
  RakeNominalCheck here = rake_nominal_check_zone (job, zone);
  RakeNominalCheck face = rake_nominal_check_face (job, zone->face);

  rake_nominal_check_show (&here, zone->name, self->nominal);
  rake_nominal_check_show (face.sample.n > here.sample.n ? &face : NULL, zone->face->name,
                           self->nominal_of_face);
}

/* --- the ledger ---------------------------------------------------------------------------------- */

static void
add_line (RakeFilmSection *self, const RakeFilmLine *line)
{
  g_autofree char *what = rake_film_line_describe (line);
  g_autofree char *when = line->entry ? rake_say_day (line->entry) : NULL;
  g_autofree char *film =
      rake_units_to_text_with_doubt (RAKE_MEASURE_FILM, line->film.mean, line->film.sd);
  /* Translators: a day, then the film after what happened: "Tue 3 Nov · 109 ± 6 µm". */
  g_autofree char *detail = when ? g_strdup_printf (_ ("%s · %s"), when, film) : g_strdup (film);

  gtk_box_append (GTK_BOX (self->lines), rake_record_row_new (what, detail));
}

static void
show_ledger (RakeFilmSection *self, const RakeFilm *film)
{
  GtkWidget *row;

  while ((row = gtk_widget_get_first_child (self->lines)))
    gtk_box_remove (GTK_BOX (self->lines), row);
  gtk_widget_set_visible (self->ledger, film->lines->len > 0);
  if (gtk_expander_get_expanded (GTK_EXPANDER (self->ledger)))
    for (guint i = film->lines->len; i-- > 0;)
      add_line (self, &g_array_index (film->lines, RakeFilmLine, i));
}

/* --- all of it ----------------------------------------------------------------------------------- */

static double
get_risk_limit (RakeSession *session)
{
  const RakeJobFacts *facts = rake_job_find_facts (rake_session_get_job (session));

  return facts && isfinite (facts->risk_limit_fraction)
             ? facts->risk_limit_fraction
             : rake_rules_get_limits (rake_session_get_rules (session))->risk_limit_fraction;
}

/* Where sanding is to be left off, nobody is told how many passes it would take. */
static gboolean
wants_forecast (RakeSession *session, const RakeZone *zone)
{
  RakeVerdict verdict = rake_session_get_judgement (session, zone)->verdict;

  return zone->stage &&
         (zone->stage->action == RAKE_ACTION_LEVEL || zone->stage->action == RAKE_ACTION_REFINE) &&
         verdict != RAKE_VERDICT_STOP && verdict != RAKE_VERDICT_REPAIR;
}

static void
show_paper (RakeFilmSection *self, RakeSession *session, const RakeZone *zone)
{
  const RakeJudgement *judgement = rake_session_get_judgement (session, zone);
  g_autofree char *advice =
      rake_paper_advise (rake_session_get_job (session), zone, &judgement->facts);

  gtk_label_set_label (GTK_LABEL (self->paper), advice ? advice : "");
  gtk_widget_set_visible (self->paper, advice != NULL);
}

static void
show_zone (RakeFilmSection *self, RakeSession *session, const RakeZone *zone)
{
  const RakeJob *job = rake_session_get_job (session);
  const RakeLimits *limits = rake_rules_get_limits (rake_session_get_rules (session));
  g_autoptr (RakeRates) rates = rake_rates_take (job);
  RakeFilm *film = rake_film_take (job, zone, rates, limits);
  RakeForecast forecast = rake_forecast_take (job, zone, film, rates, limits);
  g_autofree char *words = rake_forecast_describe (&forecast);
  g_autofree char *why = rake_film_describe_standing (film);
  gboolean is_known = film->standing == RAKE_FILM_KNOWN;

  gtk_widget_set_visible (self->picture, is_known);
  gtk_widget_set_visible (self->unknown, !is_known);
  gtk_label_set_label (GTK_LABEL (self->unknown), why ? why : "");
  gtk_label_set_label (GTK_LABEL (self->forecast), words);
  gtk_widget_set_visible (self->forecast, wants_forecast (session, zone));
  show_paper (self, session, zone);
  show_risks (self, film, get_risk_limit (session));
  show_nominal (self, job, zone);
  show_ledger (self, film);
  rake_film_picture_show (RAKE_FILM_PICTURE (self->picture), film, &forecast);
}

void
rake_film_section_show (RakeFilmSection *self, RakeSession *session, const RakeZone *zone)
{
  self->session = zone ? session : NULL;
  self->zone = zone ? zone->id : RAKE_ID_NIL;
  gtk_widget_set_visible (GTK_WIDGET (self), zone != NULL);
  if (zone)
    show_zone (self, session, zone);
  else
    rake_film_picture_show (RAKE_FILM_PICTURE (self->picture), NULL, NULL);
}

static void
on_ledger_expanded (RakeFilmSection *self)
{
  const RakeZone *zone =
      self->session ? rake_job_find_zone (rake_session_get_job (self->session), self->zone) : NULL;

  if (zone)
    show_zone (self, self->session, zone);
}

static void
rake_film_section_dispose (GObject *object)
{
  RAKE_FILM_SECTION (object)->session = NULL;
  gtk_widget_dispose_template (GTK_WIDGET (object), RAKE_TYPE_FILM_SECTION);
  G_OBJECT_CLASS (rake_film_section_parent_class)->dispose (object);
}

static void
bind_row (GtkWidgetClass *widget_class, const char *prefix, gssize offset)
{
  static const char *const parts[] = { "name", "now", "next", "end" };

  for (guint i = 0; i < G_N_ELEMENTS (parts); i++)
    {
      g_autofree char *name = g_strdup_printf ("%s_%s", prefix, parts[i]);

      gtk_widget_class_bind_template_child_full (widget_class, name, FALSE,
                                                 offset + (gssize) (i * sizeof (GtkWidget *)));
    }
}

static void
rake_film_section_class_init (RakeFilmSectionClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  G_OBJECT_CLASS (klass)->dispose = rake_film_section_dispose;
  g_type_ensure (RAKE_TYPE_FILM_PICTURE);
  gtk_widget_class_set_css_name (widget_class, "filmsection");
  gtk_widget_class_set_accessible_role (widget_class, GTK_ACCESSIBLE_ROLE_GROUP);
  gtk_widget_class_set_template_from_resource (widget_class, RAKE_UI_PATH "film-section.ui");
  gtk_widget_class_bind_template_child (widget_class, RakeFilmSection, content);
  gtk_widget_class_bind_template_child (widget_class, RakeFilmSection, picture);
  gtk_widget_class_bind_template_child (widget_class, RakeFilmSection, unknown);
  gtk_widget_class_bind_template_child (widget_class, RakeFilmSection, risks);
  gtk_widget_class_bind_template_child (widget_class, RakeFilmSection, forecast);
  gtk_widget_class_bind_template_child (widget_class, RakeFilmSection, paper);
  gtk_widget_class_bind_template_child (widget_class, RakeFilmSection, nominal);
  gtk_widget_class_bind_template_child (widget_class, RakeFilmSection, nominal_of_face);
  gtk_widget_class_bind_template_child (widget_class, RakeFilmSection, ledger);
  gtk_widget_class_bind_template_child (widget_class, RakeFilmSection, lines);
  bind_row (widget_class, "reserve", G_STRUCT_OFFSET (RakeFilmSection, reserve));
  bind_row (widget_class, "last_coat", G_STRUCT_OFFSET (RakeFilmSection, last_coat));
  gtk_widget_class_bind_template_callback (widget_class, on_ledger_expanded);
}

static void
rake_film_section_init (RakeFilmSection *self)
{
  gtk_widget_init_template (GTK_WIDGET (self));
}
