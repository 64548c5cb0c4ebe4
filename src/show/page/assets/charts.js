// The kinds of chart that the page draws; nothing else of the library goes into the bundle.
import * as echarts from 'echarts/core';
import { BarChart, CustomChart, LineChart, SankeyChart, ScatterChart } from 'echarts/charts';
import {
  AxisPointerComponent,
  DataZoomInsideComponent,
  GridComponent,
  MarkAreaComponent,
  MarkLineComponent,
  MarkPointComponent,
  ToolboxComponent,
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
  SankeyChart,
  ScatterChart,
  ToolboxComponent,
  TooltipComponent,
]);

export const { init } = echarts;
