/* log-model.h - the entries of a logbook as a list, newest first, struck ones included; all of them or
 * what concerns one zone.
 *
 * Lines are made when they are asked for, so a logbook of 20 000 entries is as quick as a short one. */
#pragma once
#include <gio/gio.h>
#include <rakelight/job.h>

#define RAKE_TYPE_LOG_ITEM (rake_log_item_get_type ())
G_DECLARE_FINAL_TYPE (RakeLogItem, rake_log_item, RAKE, LOG_ITEM, GObject)

/* One line. Texts are owned by the item. */
const RakeEntry *rake_log_item_get_entry (RakeLogItem *self);
const char *rake_log_item_get_text (RakeLogItem *self);    /* "Pass at P800 on Lower bass" */
const char *rake_log_item_get_detail (RakeLogItem *self);  /* "Tue 3 Nov 09:41 · A. Pell" */
const char *rake_log_item_get_strike (RakeLogItem *self);  /* "Struck out: …"; NULL while it stands */
gboolean rake_log_item_can_strike (RakeLogItem *self);     /* neither struck out nor a strike itself */

#define RAKE_TYPE_LOG_MODEL (rake_log_model_get_type ())
G_DECLARE_FINAL_TYPE (RakeLogModel, rake_log_model, RAKE, LOG_MODEL, GObject)

RakeLogModel *rake_log_model_new (void);

/* Shows the entries of @job as it is now, all or those that concern @zone (nil: all); says what
 * moved. @job is kept until the next call; NULL empties the list. */
void rake_log_model_show (RakeLogModel *self, const RakeJob *job, RakeId zone);

/* Whether @entry was about @zone: done there, seen there, said of it, or struck out there. */
gboolean rake_log_concerns_zone (const RakeJob *job, const RakeEntry *entry, RakeId zone);
