/* pdf-finish.h - what cairo 1.16 cannot write into a PDF: the language of its text, and for each picture
 * what stands for it where it cannot be seen. Private to src/report. */
#pragma once
#include "whole-file.h"

/* Appends it to the file, as PDF allows (an incremental update: the pages before stay as they are). A
 * file that does not look as cairo writes it is left alone; FALSE then.
 *
 * language      "de", may be NULL
 * alternatives  one text for each picture, in the order of drawing */
gboolean rake_pdf_finish (RakeWholeFile *file, const char *language, GPtrArray *alternatives);
