# The words of day sheets and briefs in Spanish: neutral, the reader addressed as usted. The keys are those of en.ftl.
#
# Trade words, checked against published Spanish texts (looked up as stored web pages):
# - madera de un año, yemas florales, podador, carga: Ojer, Reginato, Vallejos and Boulet, "Poda de formación y
#   producción", in Producción de duraznos para industria (of peaches; the words are the same).
# - rama de dos años, madera de 2, 3, 4 años; chupón for a vigorous upright shoot: "Cultivos", course text, El Naranjo,
#   Guatemala, 2019. Ramas de dos años, ramas de un año of pome fruit: "Poda de producción en los frutales de pepita".
# - yema de flor; crecimiento vertical: "Órganos vegetativos y fructíferos", training centre CFPA 5, Chos Malal.
# - carga frutal, rendimiento, peso de los frutos in pears: Ojer and Redondo, "Manejo de la carga frutal en peral cv.
#   William's", Facultad de Ciencias Agrarias, Universidad Nacional de Cuyo.
# - raleo, frutos/cm² of the tronco: Gil and Baroni, "Raleo manual en manzanos para optimizar el rendimiento", same faculty.
# - corimbo for the pear's cluster: "Peral", crop sheet of a supplier (botanical description).
# - eje, multieje for stems of one tree: "Sistemas de conducción vistos en gira técnica", training notes (of cherries).
# - fuego bacteriano, chancro, desinfectar las herramientas de árbol a árbol: advice of the Junta de Castilla y León, as
#   reported from the Estación de Avisos Agrícolas del Bierzo.
# - vecería, alternancia: "La alternancia del manzano", Tecnología Agroalimentaria, CIATA, Asturias, 1999.
# From memory: sorteo, parcela, unidad, pieza as rama, contorno, temporada, falta and sobra for light and heavy, and all
# sentences. A decimal comma and a blank before the percent sign: common practice, no source.

### Common to all sheets

orchard-unnamed = Huerto
winter-named = invierno { $label }
day-named = { $weekday } { $day } de { $month }, { $iso }
weekday-1 = lunes
weekday-2 = martes
weekday-3 = miércoles
weekday-4 = jueves
weekday-5 = viernes
weekday-6 = sábado
weekday-7 = domingo
month-1 = enero
month-2 = febrero
month-3 = marzo
month-4 = abril
month-5 = mayo
month-6 = junio
month-7 = julio
month-8 = agosto
month-9 = septiembre
month-10 = octubre
month-11 = noviembre
month-12 = diciembre
# between numbers with decimals, which have a comma of their own
list-numbers = { "; " }
# before the sound of i, y becomes e
list-last = { $sound ->
    [i] { $first } e { $last }
   *[other] { $first } y { $last }
}
percent = { $n } %
range-to = { $lo } a { $hi }
trees = { $n ->
    [one] { $n } árbol
   *[other] { $n } árboles
}
caution-ladders = Apoye bien las escaleras y las plataformas y no se estire demasiado; mantenga la mano libre lejos de las tijeras afiladas y de las motorizadas.
caution-wounds = Donde haya chancros o fuego bacteriano, no exponga los cortes recientes al tiempo húmedo y desinfecte las herramientas entre un árbol y otro. Las normas locales y los profesionales habilitados tienen prioridad.

### What is counted

metric-one = madera de un año
metric-two = madera de dos años
metric-three = madera de tres años
metric-four-plus = madera de cuatro años o más
metric-buds = yemas
metric-the-one = la madera de un año
metric-the-two = la madera de dos años
metric-the-three = la madera de tres años
metric-the-four-plus = la madera de cuatro años o más
metric-the-buds = las yemas
metric-short-one = un año
metric-short-two = dos años
metric-short-three = tres años
metric-short-four-plus = cuatro o más
metric-short-buds = yemas
age-one = un año
age-two = dos años
age-three = tres años
age-four-plus = cuatro años o más
age-column-one = 1 año
age-column-two = 2 años
age-column-three = 3 años
age-column-four-plus = 4 o más
# of unidades, feminine
size-thin = delgadas
size-medium = medianas
size-thick = gruesas

### Rules, intervals and verdicts

band-kept = { $lo }-{ $hi } %
band-too-old = hasta { $hi } %
band-compliance = desde { $lo } %
interval-known = { $lo }-{ $hi } %
interval-open = aún no
verdict-wood-in-balance = en equilibrio
verdict-wood-light = falta
verdict-wood-heavy = sobra
verdict-wood-leaning-light = parece faltar
verdict-wood-leaning-heavy = parece sobrar
verdict-wood-keep-counting = seguir contando
verdict-nothing-badly-wrong = nada grave
verdict-buds-in-balance = según la regla
verdict-buds-light = fuera de regla
verdict-buds-heavy = sobran
verdict-buds-leaning-light = quizá fuera
verdict-buds-leaning-heavy = parecen sobrar
verdict-buds-keep-counting = seguir contando
whole-wood-in-balance = { $metric } en equilibrio
whole-wood-light = falta { $metric }
whole-wood-heavy = sobra { $metric }
whole-wood-leaning-light = parece faltar { $metric }
whole-wood-leaning-heavy = parece sobrar { $metric }
whole-wood-keep-counting = seguir contando ({ $metric })
whole-buds-in-balance = { $metric } según la regla
whole-buds-light = { $metric } fuera de la regla
whole-buds-heavy = sobran { $metric }
whole-buds-leaning-light = { $metric } quizá fuera de la regla
whole-buds-leaning-heavy = parecen sobrar { $metric }
whole-buds-keep-counting = seguir contando ({ $metric })
more-about = { $n ->
    [one] hay que contar cerca de { $n } árbol más
   *[other] hay que contar unos { $n } árboles más
}
more-too-close = la diferencia es muy poca para decidir todavía
more-unknown = hay muy pocos árboles para una previsión
more-not-looked-at = antes hay que mirar el trabajo de los demás

### Day sheet: headings and columns

day-sheet-title = Hoja del día { $who }
day-sheet-blocks = Parcelas: { $blocks }
day-sheet-right = Está bien
day-sheet-change = Qué cambiar
day-sheet-go-back = Hileras para repasar
day-sheet-wood = Madera
day-sheet-rule = Regla
day-sheet-left = Queda
# entre qué valores está la parte verdadera
day-sheet-interval = Entre
day-sheet-this-day = Este día
day-sheet-trees = Árboles
day-sheet-verdict = Resultado
day-sheet-bar-left = queda
day-sheet-pieces = { $n } ramas por árbol, de media
day-sheet-information = Para su información, por árbol: { $upright } ramas verticales de un año y { $thick } ramas gruesas en la parte alta.
day-sheet-over = De más
day-sheet-under = De menos
day-sheet-by-day = Por día
day-sheet-buds-in-rule = Yemas en regla

### Day sheet: sentences

status-none = Todavía no se ha contado ningún árbol, así que nada se puede decir.
status-counting = Todavía se está contando: { $more }. Por ahora no se pide ningún cambio.
status-fine = No hay nada grave. Si está en equilibrio: { $more }. Por ahora no se pide ningún cambio.
status-leaning = { $whole }. Aún no es seguro: { $more }.
status-found = { $whole }.
basis-judged = Se basa en { $trees } de este invierno: { $drawn } por sorteo y { $eye } a ojo. En este día: { $today }.
basis-by-eye = La mayoría de estos árboles se eligió a ojo y no por sorteo: puede que no representen a todos.
basis-counting = Según { $trees } que se contaron dos veces, gran parte de la diferencia entre árboles parece venir del conteo y no de la madera: { $parts }. Los valores de abajo cuentan con el azar en ello, pero no con quien siempre ve más o menos que otro.
basis-counting-part = un { $share } en { $of }
basis-shares = Las partes por edad se basan en { $trees }: un árbol sin madera no tiene ninguna, ni tampoco uno del que solo se contaron las yemas.
basis-in-part = En { $trees } se contó solo una parte: las ramas se calculan para el árbol entero.
right-all = La madera de todas las edades está en equilibrio y las yemas cumplen la regla.
right-balance = { $n ->
    [one] { $metrics } está en equilibrio.
   *[other] { $metrics } están en equilibrio.
}
right-within = { $n ->
    [one] { $metrics } cumple la regla.
   *[other] { $metrics } cumplen la regla.
}
right-not-known = Todavía no se sabe nada.
right-not-settled = { $n ->
    [one] Se contó { $n } árbol; aún nada consta como equilibrado.
   *[other] Se contaron { $n } árboles; aún nada consta como equilibrado.
}
open-metrics = Sin decidir todavía: { $metrics }.
swap-light = { $n ->
    [0] Deje un poco más de madera de { $age }: menos de una rama por árbol.
    [one] Deje más ramas de { $age }: cerca de { $n } más por árbol.
   *[other] Deje más ramas de { $age }: unas { $n } más por árbol.
}
swap-heavy = { $n ->
    [0] Quite un poco más de madera de { $age }: menos de una rama por árbol.
    [one] Quite más ramas de { $age }: cerca de { $n } más por árbol.
   *[other] Quite más ramas de { $age }: unas { $n } más por árbol.
}
swap-too-old = { $n ->
    [0] Quite un poco más de madera de { $age }: menos de una rama por árbol.
    [one] Quite cerca de { $n } rama de { $age } por árbol: es más vieja de lo que puede quedar.
   *[other] Quite unas { $n } ramas de { $age } por árbol: son más viejas de lo que puede quedar.
}
swap-leaning-light = { $n ->
    [0] Parece faltar { $wood }: menos de una rama por árbol.
    [one] Parece faltar { $wood }: cerca de { $n } rama por árbol.
   *[other] Parece faltar { $wood }: unas { $n } ramas por árbol.
}
swap-leaning-heavy = { $n ->
    [0] Parece sobrar { $wood }: menos de una rama por árbol.
    [one] Parece sobrar { $wood }: cerca de { $n } rama por árbol.
   *[other] Parece sobrar { $wood }: unas { $n } ramas por árbol.
}
swap-none = { $wood }: { $verdict }.
balance-sure = Para mantener el número de ramas: { $pieces }.
# no hay madera en lugar de todo lo que se quita: el número no se mantiene
balance-short = { $n ->
    [one] Además, { $pieces }; al árbol le queda { $n } rama menos, pues no había otra que pueda quedar.
   *[other] Además, { $pieces }; al árbol le quedan { $n } ramas menos, pues no había otras que puedan quedar.
}
balance-unsure = Eso sería { $pieces }.
balance-fewer = { $n } menos entre las de { $age }
balance-more = { $n } más entre las de { $age }
not-there = Falta { $wood }, pero los árboles no la tenían: { $offered } ramas por árbol antes de la poda, { $left } al final. En esto no hay nada que cambiar; en su lugar se mantiene madera de las otras edades que pueden quedar.
where-offered = Deje más solo donde el árbol lo ofrezca.
where-counted = { $n ->
    [one] No se pide más de lo que había ({ $n } árbol contado antes de la poda). { where-offered }
   *[other] No se pide más de lo que había ({ $n } árboles contados antes de la poda). { where-offered }
}
buds-within = Yemas: de media, el { $within } de las unidades (ramas de dos años) de un árbol cumple la regla; debe cumplirla al menos el { $wanted }.
buds-of-size = unidades { $size }: quedan { $left } yemas de media, la regla es { $limit }; { $advice }.
buds-leave-fewer = deje menos
buds-leave-more = deje más
buds-mixed = unas tienen más y otras menos
week-nearer = { $metric }: { $now } en los últimos 7 días ({ $trees-now }), { $before } en los 7 anteriores ({ $trees-before }): más cerca de la regla.
week-farther = { $metric }: { $now } en los últimos 7 días ({ $trees-now }), { $before } en los 7 anteriores ({ $trees-before }): más lejos de la regla.
go-back-row = { $block }, hilera { $row }
go-back-sent = pedida el { $day }
go-back-open = pendiente
go-back-redone = repasada por { $pruner } el { $day }
outcome-mended = corregida
outcome-still-wrong = sigue mal
outcome-left-as-is = se deja como está

### Brief: headings and columns

brief-title = Pauta de poda { $block }
brief-block = { $n ->
    [one] { $density } árboles/ha, { $n } eje por árbol. Para la cosecha de { $season }.
   *[other] { $density } árboles/ha, { $n } ejes por árbol. Para la cosecha de { $season }.
}
brief-to-leave = Qué dejar para { $aim }: { $tonnes } t/ha, { $kg } kg por árbol
brief-no-aim = Esta parcela todavía no tiene meta: la fija quien dirige la poda, en el programa (F7).
brief-a-tree = por árbol
brief-a-stem = por eje
brief-fruit = Frutos cosechados
brief-fruit-set = Frutos después del raleo
brief-clusters = Corimbos que quedan
brief-fruit-buds = Yemas de flor
brief-buds = Yemas, tal como se cuentan
brief-units = Unidades (ramas de dos años)
brief-pieces = ramas de { $age }
brief-extra = y de un año, por pérdidas del próximo invierno
brief-buds-a-unit = Yemas/unidad
brief-units-a-tree = unid./árbol
brief-units-a-stem = unid./eje
brief-tonnes-same = t/ha, mismas unid.
brief-factors = Factores
brief-value = valor
brief-within = 4 de cada 5 veces
brief-seasons = Temporadas

### Brief: sentences

aim-tonnes = { $n } t/ha
aim-fruit = { $n } frutos por árbol
aim-trunk = { $n } frutos por cm² de tronco (contorno { $girth } cm)
taken-here = Supuesto aquí, sin guardar: { $taken }.
taken-buds = yemas por unidad
buds-rule = Yemas según la regla: { $rule }. Aquí { $n } por unidad: { $from }. Son cifras medias: la mitad de las temporadas da menos.
buds-from-taken = supuesto aquí
buds-from-counted = la regla, con los tamaños de las unidades contadas
buds-from-thirds = la regla, con un tercio de las unidades de cada tamaño (de memoria)
factor-fruit-weight = peso del fruto, g
factor-fruit-per-cluster = frutos que quedan por corimbo
factor-set = corimbos que quedan por yema de flor
factor-loss = parte perdida antes de la cosecha
factor-fruit-buds = parte de yemas de flor
source-memory = de memoria
source-practice = práctica común, sin fuente
source-entered = anotado para esta parcela
source-taken = supuesto aquí, sin guardar
published-fruit-weight = { $work }: de 171 a 228 g en dos variedades de pera
published-fruit-per-cluster = { $work }: se dejan los 1 o 2 frutos más grandes del corimbo
published-fruit-buds = { $work }, sobre el conteo de yemas: 0,84 de las yemas dan fruto (dispersión de memoria)
source-own = { $n ->
    [one] conteos propios: { $count } en { $n } temporada, { $share } del valor
   *[other] conteos propios: { $count } en { $n } temporadas, { $share } del valor
}
growth-known = { $n } ramas nuevas de un año por árbol cada invierno; de 100 ramas de cada edad, de la más joven a la más vieja, { $kept } siguen un invierno después. Fuente: { $source }.
growth-not-known = no se sabe cuánta madera nueva de un año crece; de 100 ramas de cada edad, de la más joven a la más vieja, { $kept } siguen un invierno después. Fuente: { $source }.
growth-from-counts = crecimiento según los árboles contados antes de la poda; pérdidas de memoria
growth-from-memory = crecimiento y pérdidas de memoria: anote los de la parcela o cuente antes de la poda
growth-losses = pérdidas de memoria
yields = Rendimientos, t/ha: { $yields }.
bearing-not-known = Vecería (alternancia): no se conoce; hacen falta los rendimientos de dos temporadas seguidas.
bearing-known = { $n ->
    [one] Vecería (alternancia): { $ratios } como media de cocientes (forma: University of Georgia, páginas sobre mejora del pecán), { $sums } como cociente de sumas (forma de memoria: Hoblyn et al. 1936), con { $n } par de temporadas. 0 es sin vaivén; 1, una cosecha un año sí y otro no.
   *[other] Vecería (alternancia): { $ratios } como media de cocientes (forma: University of Georgia, páginas sobre mejora del pecán), { $sums } como cociente de sumas (forma de memoria: Hoblyn et al. 1936), con { $n } pares de temporadas. 0 es sin vaivén; 1, una cosecha un año sí y otro no.
}
bearing-caution = ATENCIÓN: { $caution }
season-heavy = La última temporada fue de mucha carga ({ $ratio } de las otras): puede haber pocas yemas de flor. Mírelas antes de cortar al número de yemas.
season-light = La última temporada fue de poca carga ({ $ratio } de las otras): puede haber muchas yemas de flor y venir una cosecha grande.

### Paper: headings and captions

paper-figures = Las cifras
paper-wood = Madera y yemas frente a la regla
paper-buds = Yemas que quedan por unidad (rama de dos años), según su grosor
paper-units-of = Unidades
paper-counted = Contadas
paper-days = Los últimos días con conteos
paper-day = Día
paper-briefs = Pautas de poda
paper-day-sheets = Hojas del día
paper-what = Qué
paper-leave = En el árbol medio y en el eje medio
paper-by-buds = Qué darían otros números de yemas por unidad
paper-factor = Factor
paper-source = Fuente
paper-rests-on = En qué se basa

### Pictures: short words, cut where there is no room

picture-mix-title = Madera que queda, por edad
picture-ternary-title = Los árboles contados entre las edades
picture-buds-title = Yemas que quedan, por grosor
picture-trend-title = De un día a otro
picture-rows-title = Las hileras desde arriba
picture-progress-title = Árboles podados, y el final
picture-ahead-title = Madera por edad, próximos inviernos
picture-crop-title = La cosecha, próximos inviernos
picture-buds-within = yemas en regla
picture-accepted = aceptado
picture-wanted = deseado
picture-interval = intervalo
picture-mean = media
picture-tree = un árbol
picture-trees = árboles
picture-of = de
picture-shown = mostrados
picture-lowest-to-highest = del árbol menor al mayor
picture-day-mean = media de un día
picture-without-four-plus = sin la madera de cuatro años o más; las tres suman 100 %
picture-units = unidades
picture-within = dentro
picture-outside = fuera
picture-rule = regla
picture-left-on-mean = queda, media
picture-over = de más
picture-under = de menos
picture-to-prune = por podar
picture-pruned = podado
picture-counted = contado
picture-partly = en parte
picture-sent-back = repasar
picture-marked = con señal
picture-row = hilera
picture-done = podado
picture-to-come = por venir, lo probable
picture-middle = centro
picture-budburst = brotación
picture-finish = final
picture-in-time = a tiempo
picture-beyond-a-year = en más de un año
picture-no-forecast = aún sin previsión
picture-this-winter = ahora
picture-winter = invierno
picture-pieces-a-tree = ramas por árbol
picture-tonnes-per-ha = t/ha
picture-range = cuatro de cada cinco veces
picture-nothing = nada contado
picture-all-of-one = todo un año
picture-all-of-two = todo dos años
picture-all-of-three = todo tres años
picture-scenarios-as-pruned = como se podó
picture-scenarios-mended = corregido ya
picture-scenarios-on-rule = según la regla
month-short-1 = ene
month-short-2 = feb
month-short-3 = mar
month-short-4 = abr
month-short-5 = may
month-short-6 = jun
month-short-7 = jul
month-short-8 = ago
month-short-9 = sept
month-short-10 = oct
month-short-11 = nov
month-short-12 = dic

together = Mirar juntos: { $block }, fila { $row }, árbol { $tree } (el árbol de referencia).
