/* map-face.c - a whole face in one go: for thumbnails, lists and files. */
#include <rakelight/map.h>

#include <math.h>

void
rake_map_draw_face (cairo_t *cr, const RakeMapView *view, const RakeFace *face,
                    RakeJudgement *const *judgements)
{
  guint n_zones = face->zones != NULL ? face->zones->len : 0;
  g_autoptr (GArray) labels = rake_map_lay_labels (cr, view, face, judgements);

  rake_map_draw_glow (cr, view, face);
  for (guint i = 0; i < n_zones; i++)
    rake_map_draw_zone (cr, view, face->zones->pdata[i], judgements[i]);
  rake_map_draw_seams (cr, view, face);
  for (guint i = 0; i < n_zones; i++)
    rake_map_draw_marks (cr, view, face->zones->pdata[i], judgements[i]);
  if (isfinite (view->lamp_deg))
    rake_map_draw_lamp (cr, view, face, FALSE);
  for (guint i = 0; i < n_zones; i++)
    rake_map_draw_label (cr, view, face->zones->pdata[i], judgements[i],
                         &g_array_index (labels, RakeMapLabel, i));
}
