/* words.h - translation for the window's files; include it after every other header. */
#pragma once
#include "rakelight-config.h"
#ifndef GETTEXT_PACKAGE
#define GETTEXT_PACKAGE RAKE_GETTEXT_DOMAIN
#endif
#include <glib/gi18n-lib.h>

/* Where the window's .ui files lie among its resources. */
#define RAKE_UI_PATH "/org/rakelight/Rakelight/ui/"
