// The kinds of chart that the page draws; nothing else of the library goes into its bundle, which is packed by itself: the page is
// built without it.
import * as echarts from 'echarts/core';
import { BarChart, CustomChart, LineChart, ScatterChart } from 'echarts/charts';
import {
  AxisPointerComponent,
  DataZoomInsideComponent,
  GridComponent,
  MarkAreaComponent,
  MarkLineComponent,
  MarkPointComponent,
  TooltipComponent,
} from 'echarts/components';
import { SVGRenderer } from 'echarts/renderers';

echarts.use([
  AxisPointerComponent,
  BarChart,
  CustomChart,
  DataZoomInsideComponent,
  GridComponent,
  LineChart,
  MarkAreaComponent,
  MarkLineComponent,
  MarkPointComponent,
  SVGRenderer,
  ScatterChart,
  TooltipComponent,
]);

globalThis.evenerCharts = echarts;
