# picture.gnuplot: two maps that picture_maps.py left in a folder, on one scale, contours in the first,
# a colour bar, 1600 pixels wide:  gnuplot -e "folder='FOLDER'" picture.gnuplot
set terminal pngcairo size 1600,920 font "DejaVu Sans,14"
set output folder."/gnuplot.png"
set contour base
unset surface
set cntrparam levels incremental 1.0,0.2,2.2
set table $lines
splot folder."/forged.xyz" using 1:2:3
unset table
set size ratio -1
set xrange [-230:230]
set yrange [0:420]
set cbrange [0.8:2.2]
set cblabel "mm"
set palette defined (0 "#fcfdbf", 1 "#fc8961", 2 "#b73779", 3 "#51127c", 4 "#000004")
unset key
set multiplot layout 1,2 title "breastplate: forged taper beside even sheet"
set title "As forged"
plot folder."/forged.xyz" using 1:2:3 with image, \
     $lines using 1:2 with lines lc "black" lw 1.2, \
     $lines using 1:2:(sprintf("%.1f",$3)) every 40::20 with labels font ",11"
set title "As even sheet"
plot folder."/sheet.xyz" using 1:2:3 with image
unset multiplot
