/* The two cuts of the lettering (Debian package fonts-dejavu-extra, free licence), carried inside the program. */
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
    .section .note.GNU-stack,"",@progbits
