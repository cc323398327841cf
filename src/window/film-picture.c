/* film-picture.c - the cut through a zone's film as a widget. */
#include "film-picture.h"
#include "theme.h"

#include <adwaita.h>
#include <math.h>

#define HEIGHT_PX 220
#define WIDTH_PX 200
#define TEXT_EM 0.85

struct _RakeFilmPicture
{
  GtkWidget parent_instance;

  RakeFilm *film;
  RakeForecast forecast;
  gboolean has_forecast;
};

G_DEFINE_FINAL_TYPE (RakeFilmPicture, rake_film_picture, GTK_TYPE_WIDGET)

static double
get_text_px (RakeFilmPicture *self)
{
  PangoContext *context = gtk_widget_get_pango_context (GTK_WIDGET (self));
  const PangoFontDescription *font = pango_context_get_font_description (context);
  double size = (double) pango_font_description_get_size (font) / PANGO_SCALE;

  return TEXT_EM * (pango_font_description_get_size_is_absolute (font)
                        ? size
                        : size * pango_cairo_context_get_resolution (context) / 72);
}

static void
rake_film_picture_snapshot (GtkWidget *widget, GtkSnapshot *snapshot)
{
  RakeFilmPicture *self = RAKE_FILM_PICTURE (widget);
  RakeFilmCut cut = { .theme = rake_theme_now (),
                      .width_px = gtk_widget_get_width (widget),
                      .height_px = gtk_widget_get_height (widget),
                      .text_px = get_text_px (self),
                      .film = self->film,
                      .forecast = self->has_forecast ? &self->forecast : NULL,
                      .sigma_um = self->has_forecast ? self->forecast.sigma_um : NAN };
  cairo_t *cr;

  if (!self->film)
    return;
  cr = gtk_snapshot_append_cairo (
      snapshot, &GRAPHENE_RECT_INIT (0, 0, (float) cut.width_px, (float) cut.height_px));
  rake_film_cut_draw (cr, &cut);
  cairo_destroy (cr);
}

static void
rake_film_picture_measure (GtkWidget *widget, GtkOrientation orientation, int for_size_px,
                           int *minimum_px, int *natural_px, int *minimum_baseline,
                           int *natural_baseline)
{
  *minimum_px = *natural_px = orientation == GTK_ORIENTATION_HORIZONTAL ? WIDTH_PX : HEIGHT_PX;
}

void
rake_film_picture_show (RakeFilmPicture *self, RakeFilm *film, const RakeForecast *forecast)
{
  g_autofree char *words = film ? rake_film_cut_describe (film, forecast) : NULL;

  g_clear_pointer (&self->film, rake_film_free);
  self->film = film;
  self->has_forecast = forecast != NULL;
  if (forecast)
    self->forecast = *forecast;
  gtk_accessible_update_property (GTK_ACCESSIBLE (self), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                  words ? words : "", -1);
  gtk_widget_queue_draw (GTK_WIDGET (self));
}

static void
rake_film_picture_finalize (GObject *object)
{
  g_clear_pointer (&RAKE_FILM_PICTURE (object)->film, rake_film_free);
  G_OBJECT_CLASS (rake_film_picture_parent_class)->finalize (object);
}

static void
rake_film_picture_class_init (RakeFilmPictureClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  G_OBJECT_CLASS (klass)->finalize = rake_film_picture_finalize;
  widget_class->snapshot = rake_film_picture_snapshot;
  widget_class->measure = rake_film_picture_measure;
  gtk_widget_class_set_css_name (widget_class, "filmpicture");
  gtk_widget_class_set_accessible_role (widget_class, GTK_ACCESSIBLE_ROLE_IMG);
}

static void
rake_film_picture_init (RakeFilmPicture *self)
{
  gtk_widget_set_overflow (GTK_WIDGET (self), GTK_OVERFLOW_HIDDEN);
  g_signal_connect_object (adw_style_manager_get_default (), "notify::dark",
                           G_CALLBACK (gtk_widget_queue_draw), self, G_CONNECT_SWAPPED);
}
