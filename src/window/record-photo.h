/* record-photo.h - a photograph on a slip: its thumbnail with view, time and who took it, as a button that
 * shows it large (win.show-photo). */
#pragma once
#include <gtk/gtk.h>
#include <rakelight/photo.h>
#include "session.h"

GtkWidget *rake_record_photo_new (RakeSession *session, const RakePhoto *photo, int side_px);
