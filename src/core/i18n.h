/* i18n.h - the core's words in the language of the person: _(), N_(), C_(), g_dngettext(). */
#pragma once
#include "rakelight-config.h"
#define GETTEXT_PACKAGE RAKE_GETTEXT_DOMAIN
#include <glib/gi18n-lib.h>
