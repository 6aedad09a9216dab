/* The two cuts of the lettering (Debian package fonts-dejavu-extra), and what they lack: Japanese (fonts-vlgothic), and the
   other ideographs (fonts-droid-fallback), every other script of the basic plane (fonts-unifont). All free licences; carried inside the program. */
    .section .rodata
    .balign 16
    .global stoutloom_font_regular_begin, stoutloom_font_regular_end
stoutloom_font_regular_begin:
    .incbin "DejaVuSansCondensed.ttf"
stoutloom_font_regular_end:
    .balign 16
    .global stoutloom_font_bold_begin, stoutloom_font_bold_end
stoutloom_font_bold_begin:
    .incbin "DejaVuSansCondensed-Bold.ttf"
stoutloom_font_bold_end:
    .balign 16
    .global stoutloom_font_japanese_begin, stoutloom_font_japanese_end
stoutloom_font_japanese_begin:
    .incbin "VL-Gothic-Regular.ttf"
stoutloom_font_japanese_end:
    .balign 16
    .global stoutloom_font_wide_begin, stoutloom_font_wide_end
stoutloom_font_wide_begin:
    .incbin "DroidSansFallbackFull.ttf"
stoutloom_font_wide_end:
    .balign 16
    .global stoutloom_font_last_begin, stoutloom_font_last_end
stoutloom_font_last_begin:
    .incbin "unifont.otf"
stoutloom_font_last_end:
    .section .note.GNU-stack,"",@progbits
