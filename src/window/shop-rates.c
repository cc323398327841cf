/* shop-rates.c - what the shop's own jobs say that one pass takes. */
#include "shop-rates.h"
#include "shop-folder.h"

#include <rakelight/job-file.h>
#include <rakelight/rates.h>

#define MOST_JOBS 60 /* the latest: a hand and its paper change with the years */

static RakeJob *
load (const char *path)
{
  g_autoptr (RakeJobFile) file = rake_job_file_open (path, RAKE_JOB_FILE_READ_ONLY, NULL);

  return file ? rake_job_file_load (file, NULL) : NULL;
}

GPtrArray *
rake_shop_rates_learn (void)
{
  g_autoptr (GPtrArray) paths = rake_shop_folder_list ();
  g_autoptr (GPtrArray) jobs = g_ptr_array_new_with_free_func ((GDestroyNotify) rake_job_free);

  for (guint i = 0; i < MIN (paths->len, MOST_JOBS); i++)
    {
      RakeJob *job = load (paths->pdata[i]);

      if (job)
        g_ptr_array_add (jobs, job);
    }
  return rake_rates_learn ((const RakeJob *const *) jobs->pdata, jobs->len);
}
