/* The two cuts of the lettering (Debian package fonts-dejavu-extra), and what they lack: Japanese (fonts-vlgothic), the
   scripts of India that must be shaped (fonts-lohit-*), Thai in two cuts (fonts-arundina), the other ideographs
   and the Korean syllables (two faces of fonts-droid-fallback), every other script of the basic plane (fonts-unifont). All free licences; carried inside the
   program. */
    .section .rodata
    .macro font name, file
    .balign 16
    .global stoutloom_font_\name\()_begin, stoutloom_font_\name\()_end
stoutloom_font_\name\()_begin:
    .incbin "\file"
stoutloom_font_\name\()_end:
    .endm
    font regular, DejaVuSansCondensed.ttf
    font bold, DejaVuSansCondensed-Bold.ttf
    font japanese, VL-Gothic-Regular.ttf
    font devanagari, Lohit-Devanagari.ttf
    font bengali, Lohit-Bengali.ttf
    font gurmukhi, Lohit-Gurmukhi.ttf
    font gujarati, Lohit-Gujarati.ttf
    font odia, Lohit-Odia.ttf
    font tamil, Lohit-Tamil.ttf
    font telugu, Lohit-Telugu.ttf
    font kannada, Lohit-Kannada.ttf
    font malayalam, Lohit-Malayalam.ttf
    font thai, ArundinaSans.ttf
    font thai_bold, ArundinaSans-Bold.ttf
    font wide, DroidSansFallbackFull.ttf
    font korean, DroidSansFallback.ttf
    font last, unifont.otf
    .section .note.GNU-stack,"",@progbits
