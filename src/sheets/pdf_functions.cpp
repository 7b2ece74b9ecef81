#include "pdf_functions.hpp"

extern "C" const holdwarden::sheets::PdfFunctions holdwarden_pdf_functions;

const holdwarden::sheets::PdfFunctions holdwarden_pdf_functions{
    .sheets = &holdwarden::sheets::to_pdf,
    .form = &holdwarden::sheets::to_pdf,
    .label = &holdwarden::sheets::label_pdf,
};
