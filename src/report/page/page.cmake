# The files of the page in the order in which they are joined.
set(GAUGELOOM_PAGE_STYLES sheet.css marks.css drawing.css deciding.css print.css)
set(GAUGELOOM_PAGE_SCRIPTS sheet.js map.js chart.js finding_charts.js gauge_charts.js deciding.js printing.js)
